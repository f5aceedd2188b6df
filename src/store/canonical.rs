//! The canonical JSON of parsed TOML: keys sorted, no spaces, dates as strings, UTF-8.
//!
//! Two texts with the same values have the same canonical JSON, whatever their comments and
//! line ends. Must not know what a key means.

use std::collections::BTreeMap;

use toml::de::{DeInteger, DeTable, DeValue};

use super::error::RecordFault;

/// Returns the canonical JSON of a table.
pub(super) fn table_json(table: &DeTable<'_>) -> Result<String, RecordFault> {
    let mut out = String::new();
    write_table(&mut out, table, None)?;
    Ok(out)
}

/// Returns the canonical JSON of a value; if it is a table, without one of its keys.
pub(super) fn json_without(value: &DeValue<'_>, key: &str) -> Result<String, RecordFault> {
    let mut out = String::new();
    match value.as_table() {
        Some(table) => write_table(&mut out, table, Some(key))?,
        None => write_value(&mut out, value)?,
    }
    Ok(out)
}

/// Returns the canonical JSON of a value.
pub(super) fn value_json(value: &DeValue<'_>) -> Result<String, RecordFault> {
    let mut out = String::new();
    write_value(&mut out, value)?;
    Ok(out)
}

/// Returns a whole number of a record.
pub(super) fn whole_number(number: &DeInteger<'_>) -> Result<i64, RecordFault> {
    i64::from_str_radix(number.as_str(), number.radix())
        .map_err(|_| RecordFault::TooLarge(number.to_string()))
}

fn write_table(
    out: &mut String,
    table: &DeTable<'_>,
    without: Option<&str>,
) -> Result<(), RecordFault> {
    // Sorted here, so that no feature of a parser can change the order.
    let sorted: BTreeMap<&str, &DeValue<'_>> = table
        .iter()
        .map(|(key, value)| (key.get_ref().as_ref(), value.get_ref()))
        .filter(|(key, _)| without != Some(*key))
        .collect();
    out.push('{');
    let mut first = true;
    for (key, value) in sorted {
        separate(out, &mut first);
        write_string(out, key);
        out.push(':');
        write_value(out, value)?;
    }
    out.push('}');
    Ok(())
}

fn write_value(out: &mut String, value: &DeValue<'_>) -> Result<(), RecordFault> {
    match value {
        DeValue::String(text) => write_string(out, text),
        DeValue::Integer(number) => out.push_str(&whole_number(number)?.to_string()),
        DeValue::Float(number) => return Err(RecordFault::Fraction(number.to_string())),
        DeValue::Boolean(true) => out.push_str("true"),
        DeValue::Boolean(false) => out.push_str("false"),
        DeValue::Datetime(date) => write_string(out, &date.to_string()),
        DeValue::Array(values) => {
            out.push('[');
            let mut first = true;
            for value in values {
                separate(out, &mut first);
                write_value(out, value.get_ref())?;
            }
            out.push(']');
        }
        DeValue::Table(table) => write_table(out, table, None)?,
    }
    Ok(())
}

fn separate(out: &mut String, first: &mut bool) {
    if !std::mem::replace(first, false) {
        out.push(',');
    }
}

fn write_string(out: &mut String, text: &str) {
    out.push_str(&serde_json::Value::from(text).to_string());
}

#[cfg(test)]
mod tests {
    use super::*;

    fn json(text: &str) -> String {
        table_json(DeTable::parse(text).unwrap().get_ref()).unwrap()
    }

    #[test]
    fn every_kind_of_value() {
        assert_eq!(
            json(
                "b = [1, -2]\na = \"é \\\"q\\\" \\n\\u0001\"\n[t]\nd = 2026-05-04\ny = true\nx = {}\n"
            ),
            "{\"a\":\"é \\\"q\\\" \\n\\u0001\",\"b\":[1,-2],\"t\":{\"d\":\"2026-05-04\",\"x\":{},\"y\":true}}"
        );
    }

    #[test]
    fn numbers_count_by_value() {
        assert_eq!(
            json("a = 0x1F\nb = 1_000\nc = +5\nd = -0"),
            "{\"a\":31,\"b\":1000,\"c\":5,\"d\":0}"
        );
    }

    #[test]
    fn keys_are_sorted_by_their_bytes() {
        assert_eq!(
            json("b = 1\n\"é\" = 2\na-b = 3\nB = 4\na = 5"),
            "{\"B\":4,\"a\":5,\"a-b\":3,\"b\":1,\"é\":2}"
        );
    }

    #[test]
    fn fractions_and_giants_are_refused() {
        let fault = |text| table_json(DeTable::parse(text).unwrap().get_ref()).unwrap_err();
        assert_eq!(fault("a = 1.5"), RecordFault::Fraction("1.5".to_owned()));
        assert_eq!(
            fault("a = 9223372036854775808"),
            RecordFault::TooLarge("9223372036854775808".to_owned())
        );
    }

    #[test]
    fn one_key_can_be_left_out() {
        let parsed = DeValue::parse("{ a = 1, seal = { a = 2 } }").unwrap();
        assert_eq!(json_without(parsed.get_ref(), "seal").unwrap(), "{\"a\":1}");
        assert_eq!(
            value_json(parsed.get_ref()).unwrap(),
            "{\"a\":1,\"seal\":{\"a\":2}}"
        );
    }
}
