//! Programs outside this library that check what it wrote.

use std::process::Command;

/// The first of these programs that is there.
pub fn program(names: &[&str]) -> Option<String> {
    let there =
        |name: &&&str| Command::new(name).arg("--version").output().is_ok_and(|out| out.status.success());
    let found = names.iter().find(there).map(ToString::to_string);
    let asked = std::env::var_os("SHAFTWORK_CHECK_EXPORTS").is_some();
    assert!(found.is_some() || !asked, "none of {names:?} is installed");
    if found.is_none() {
        println!("not checked: none of {names:?} is installed");
    }
    found
}
