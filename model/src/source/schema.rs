//! What the leaves of the file look like as JSON Schema, from which the format reference is made.

use std::borrow::Cow;

use schemars::{JsonSchema, Schema, SchemaGenerator, json_schema};

use super::{Entries, Given, Spanned};

impl<T: JsonSchema> JsonSchema for Spanned<T> {
    fn schema_name() -> Cow<'static, str> {
        T::schema_name()
    }

    fn inline_schema() -> bool {
        T::inline_schema()
    }

    fn json_schema(generator: &mut SchemaGenerator) -> Schema {
        T::json_schema(generator)
    }
}

impl JsonSchema for Given {
    fn schema_name() -> Cow<'static, str> {
        "quantity".into()
    }

    fn json_schema(_: &mut SchemaGenerator) -> Schema {
        json_schema!({ "type": ["string", "number"] })
    }
}

impl<T: JsonSchema> JsonSchema for Entries<T> {
    fn schema_name() -> Cow<'static, str> {
        format!("names with {}", T::schema_name()).into()
    }

    fn json_schema(generator: &mut SchemaGenerator) -> Schema {
        let value = generator.subschema_for::<T>();
        json_schema!({ "type": "object", "additionalProperties": value })
    }
}
