//! Quantities in files: `{"value": 0.2487, "unit": "kg/s"}` out, that or `"32.9 lb/min"` in.

use super::{Quantity, parse};
use serde::de::{Error, MapAccess, Visitor};
use serde::ser::SerializeStruct;
use serde::{Deserializer, Serializer};

pub(super) fn serialize<Q: Quantity, S: Serializer>(quantity: Q, to: S) -> Result<S::Ok, S::Error> {
    let mut out = to.serialize_struct("Quantity", 2)?;
    out.serialize_field("value", &quantity.si())?;
    out.serialize_field("unit", Q::si_unit())?;
    out.end()
}

pub(super) fn deserialize<'de, Q: Quantity, D: Deserializer<'de>>(from: D) -> Result<Q, D::Error> {
    struct Reader<Q>(core::marker::PhantomData<Q>);
    impl<'de, Q: Quantity> Visitor<'de> for Reader<Q> {
        type Value = Q;
        fn expecting(&self, f: &mut core::fmt::Formatter<'_>) -> core::fmt::Result {
            write!(f, "{} as text with a unit, or a value and a unit", Q::NAME)
        }
        fn visit_str<E: Error>(self, text: &str) -> Result<Q, E> {
            parse::quantity(text).map_err(E::custom)
        }
        fn visit_map<A: MapAccess<'de>>(self, mut map: A) -> Result<Q, A::Error> {
            let (mut value, mut unit) = (None::<f64>, None::<String>);
            while let Some(key) = map.next_key::<String>()? {
                match key.as_str() {
                    "value" => value = Some(map.next_value()?),
                    "unit" => unit = Some(map.next_value()?),
                    _ => return Err(A::Error::unknown_field(&key, &["value", "unit"])),
                }
            }
            let value = value.ok_or_else(|| A::Error::missing_field("value"))?;
            let unit = unit.ok_or_else(|| A::Error::missing_field("unit"))?;
            let unit = parse::unit_of::<Q>(&unit).map_err(A::Error::custom)?;
            Q::from_si(unit.to_si(value)).map_err(A::Error::custom)
        }
    }
    from.deserialize_any(Reader(core::marker::PhantomData))
}
