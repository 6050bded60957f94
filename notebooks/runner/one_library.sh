#!/bin/sh
# Cargo calls this in the place of the compiler: the compiler, then its arguments. See one_library.py.
mark=$SHAFTWORK_KERNEL_LIBRARY_IN_USE
case " $* " in
*" --crate-name shaftwork "*,link*)
    if [ -e "$mark" ]; then
        words='the library was edited since this kernel started: restart the kernel and run the cells from the top'
        printf '{"$message_type":"diagnostic","message":"%s","code":null,"level":"error","spans":[],"children":[],"rendered":"%s"}\n' \
            "$words" "$words" >&2
        exit 1
    fi
    ;;
*" --crate-name ctx "*,link*" shaftwork="*) : >"$mark" ;;
esac
exec "$@"
