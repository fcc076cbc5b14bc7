//! Reads a form from a JSON object only; serde's own derive would take a list of values as well, with code for it.

use std::fmt;
use std::marker::PhantomData;

use serde::de::value::MapAccessDeserializer;
use serde::de::{Deserializer, MapAccess, Visitor};

/// A form whose derived reader is behind `#[serde(remote = "Self")]`.
pub trait Form: Sized {
    /// Reads the form from whatever serde's derive accepts.
    ///
    /// # Errors
    /// As the derived reader says.
    fn read<'de, D: Deserializer<'de>>(from: D) -> Result<Self, D::Error>;
}

/// Visits an object and nothing else.
#[derive(Debug)]
pub struct Object<T>(pub PhantomData<T>);

impl<'de, T: Form> Visitor<'de> for Object<T> {
    type Value = T;

    fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("an object")
    }

    fn visit_map<A: MapAccess<'de>>(self, map: A) -> Result<T, A::Error> {
        T::read(MapAccessDeserializer::new(map))
    }
}

/// Makes forms readable and writable, objects only.
#[macro_export]
macro_rules! objects {
    ($($form:ident),+ $(,)?) => {$(
        impl $crate::file::object::Form for $form {
            fn read<'de, D: serde::Deserializer<'de>>(from: D) -> Result<Self, D::Error> {
                Self::deserialize(from)
            }
        }

        impl<'de> serde::Deserialize<'de> for $form {
            fn deserialize<D: serde::Deserializer<'de>>(from: D) -> Result<Self, D::Error> {
                from.deserialize_map($crate::file::object::Object(std::marker::PhantomData))
            }
        }

        impl serde::Serialize for $form {
            fn serialize<S: serde::Serializer>(&self, to: S) -> Result<S::Ok, S::Error> {
                Self::serialize(self, to)
            }
        }
    )+};
}

pub(super) use objects;
