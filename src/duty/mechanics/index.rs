//! Index formulas of properties, such as `tensile_modulus / density`.
//!
//! A small grammar is checked first, so that every fault has its own words and
//! nothing else reaches the expression crate: numbers, property ids written
//! with `_`, `+ - * / ^ ( )`, `sqrt` and `ln`.

use crate::problem::Fault;
use crate::quantity::fault_message;
use exmex::{BinOp, Express, FlatEx, MakeOperators, Operator, ops_factory};
use schemars::{JsonSchema, Schema, SchemaGenerator, json_schema};
use serde::{Deserialize, Deserializer, Serialize, Serializer, de};

/// Longest index, characters.
const LONGEST: usize = 200;
/// Deepest nesting of brackets and functions.
const DEEPEST: usize = 20;

ops_factory!(
    IndexOps,
    f64,
    Operator::make_bin(
        "^",
        BinOp {
            apply: |a: f64, b: f64| a.powf(b),
            prio: 4,
            is_commutative: false
        }
    ),
    Operator::make_bin(
        "*",
        BinOp {
            apply: |a, b| a * b,
            prio: 2,
            is_commutative: true
        }
    ),
    Operator::make_bin(
        "/",
        BinOp {
            apply: |a, b| a / b,
            prio: 3,
            is_commutative: false
        }
    ),
    Operator::make_bin_unary(
        "+",
        BinOp {
            apply: |a, b| a + b,
            prio: 0,
            is_commutative: true
        },
        |a| a
    ),
    Operator::make_bin_unary(
        "-",
        BinOp {
            apply: |a, b| a - b,
            prio: 1,
            is_commutative: false
        },
        |a: f64| -a
    ),
    Operator::make_unary("sqrt", |a: f64| a.sqrt()),
    Operator::make_unary("ln", |a: f64| a.ln())
);

/// A checked index formula.
#[derive(Clone, Debug)]
pub(in crate::duty) struct Index {
    text: String,
    expression: FlatEx<f64, IndexOps>,
}

impl Index {
    /// Reads an index.
    ///
    /// # Errors
    /// `index::too-long`, `index::character`, `index::too-deep`, `index::malformed`, `index::ambiguous`.
    pub(in crate::duty) fn parse(text: &str) -> Result<Self, Fault> {
        if text.chars().count() > LONGEST {
            return Err(Fault::new(
                "index::too-long",
                format!("the index has more than {LONGEST} characters"),
                "shorten it, or split it into two limits",
            ));
        }
        let tokens = tokens(text)?;
        let mut grammar = Grammar {
            tokens: &tokens,
            at: 0,
            depth: 0,
        };
        grammar.sum()?;
        if grammar.at < tokens.len() {
            return Err(grammar.unexpected());
        }
        let expression = FlatEx::parse(&tokens.join(" "))
            .map_err(|_| malformed("it cannot be read as a formula"))?;
        Ok(Index {
            text: text.trim().to_owned(),
            expression,
        })
    }

    /// The index as written.
    pub(in crate::duty) fn text(&self) -> &str {
        &self.text
    }

    /// Ids of the properties in it, in the order in which [`Index::value`] takes them.
    pub(in crate::duty) fn properties(&self) -> Vec<String> {
        self.expression
            .var_names()
            .iter()
            .map(|v| v.replace('_', "-"))
            .collect()
    }

    /// Its value; NaN where a figure is missing or the formula has no value.
    pub(in crate::duty) fn value(&self, figures: &[f64]) -> f64 {
        self.expression.eval(figures).unwrap_or(f64::NAN)
    }
}

impl<'de> Deserialize<'de> for Index {
    fn deserialize<D: Deserializer<'de>>(d: D) -> Result<Self, D::Error> {
        let text = String::deserialize(d)?;
        Index::parse(&text).map_err(|f| de::Error::custom(fault_message(&f)))
    }
}

impl Serialize for Index {
    fn serialize<S: Serializer>(&self, s: S) -> Result<S::Ok, S::Error> {
        s.serialize_str(&self.text)
    }
}

impl JsonSchema for Index {
    fn schema_name() -> std::borrow::Cow<'static, str> {
        "Index".into()
    }
    fn json_schema(_: &mut SchemaGenerator) -> Schema {
        json_schema!({
            "type": "string",
            "maxLength": LONGEST,
            "description": "a formula of property ids written with `_`, + - * / ^ ( ), sqrt and ln, in canonical units",
            "examples": ["tensile_modulus / density"],
        })
    }
}

fn malformed(what: &str) -> Fault {
    Fault::new(
        "index::malformed",
        format!("the index is no formula: {what}"),
        "write for example `tensile_modulus / density` or `sqrt(flexural_modulus) / density`",
    )
}

/// Splits an index into numbers, words and signs.
fn tokens(text: &str) -> Result<Vec<&str>, Fault> {
    let mut found = Vec::new();
    let mut rest = text.trim_start();
    while let Some(first) = rest.chars().next() {
        let length = if first.is_ascii_digit() || first == '.' {
            rest.find(|c: char| !(c.is_ascii_digit() || c == '.'))
                .unwrap_or(rest.len())
        } else if first.is_ascii_lowercase() || first == '_' {
            rest.find(|c: char| !(c.is_ascii_lowercase() || c.is_ascii_digit() || c == '_'))
                .unwrap_or(rest.len())
        } else if "+-*/^()".contains(first) {
            1
        } else {
            return Err(Fault::new(
                "index::character",
                format!("`{first}` cannot stand in an index"),
                "use property ids in small letters with `_`, numbers, + - * / ^ ( ), sqrt and ln",
            ));
        };
        let (token, after) = rest.split_at(length);
        if first.is_ascii_digit() || first == '.' {
            token
                .parse::<f64>()
                .map_err(|_| malformed(&format!("`{token}` is no number")))?;
        }
        found.push(token);
        rest = after.trim_start();
    }
    Ok(found)
}

struct Grammar<'a> {
    tokens: &'a [&'a str],
    at: usize,
    depth: usize,
}

impl Grammar<'_> {
    fn peek(&self) -> &str {
        self.tokens.get(self.at).copied().unwrap_or("")
    }

    fn take(&mut self, wanted: &[&str]) -> bool {
        let hit = wanted.contains(&self.peek());
        self.at += usize::from(hit);
        hit
    }

    fn unexpected(&self) -> Fault {
        match self.peek() {
            "" => malformed("it ends too early"),
            token => malformed(&format!("`{token}` stands where it cannot")),
        }
    }

    fn sum(&mut self) -> Result<(), Fault> {
        self.product()?;
        while self.take(&["+", "-"]) {
            self.product()?;
        }
        Ok(())
    }

    fn product(&mut self) -> Result<(), Fault> {
        self.power()?;
        while self.take(&["*", "/"]) {
            self.power()?;
        }
        Ok(())
    }

    fn power(&mut self) -> Result<(), Fault> {
        let signed = self.take(&["+", "-"]);
        self.atom()?;
        if !self.take(&["^"]) {
            return Ok(());
        }
        self.take(&["+", "-"]);
        self.atom()?;
        if signed || self.peek() == "^" {
            return Err(Fault::new(
                "index::ambiguous",
                "a power of a signed term or of a power can be read in two ways",
                "put brackets: `-(a^2)`, `a^(b^c)`",
            ));
        }
        Ok(())
    }

    fn atom(&mut self) -> Result<(), Fault> {
        let token = self.peek().to_owned();
        let starts = |f: fn(char) -> bool| token.starts_with(f);
        if token == "sqrt" || token == "ln" {
            self.at += 1;
            if self.peek() != "(" {
                return Err(malformed(&format!("`{token}` needs a bracket after it")));
            }
            return self.atom();
        }
        if starts(|c| c.is_ascii_digit() || c == '.') || starts(|c| c.is_ascii_lowercase()) {
            self.at += 1;
            return Ok(());
        }
        if !self.take(&["("]) {
            return Err(self.unexpected());
        }
        self.depth += 1;
        if self.depth > DEEPEST {
            return Err(Fault::new(
                "index::too-deep",
                format!("the index nests brackets more than {DEEPEST} deep"),
                "take out brackets that are not needed",
            ));
        }
        self.sum()?;
        if !self.take(&[")"]) {
            return Err(self.unexpected());
        }
        self.depth -= 1;
        Ok(())
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn value(text: &str, figures: &[f64]) -> f64 {
        Index::parse(text).unwrap().value(figures)
    }

    fn code(text: &str) -> &'static str {
        Index::parse(text).unwrap_err().code
    }

    #[test]
    fn operators_bind_as_on_paper() {
        for (text, wanted) in [
            ("2 - 3 - 4", -5.0),
            ("2 - 3 + 4", 3.0),
            ("2 + 3 - 4 + 1", 2.0),
            ("12 / 2 / 3", 2.0),
            ("12 / 2 * 3", 18.0),
            ("12 * 2 / 3", 8.0),
            ("2 + 3 * 4 ^ 2", 50.0),
            ("2 * 3 ^ -1", 2.0 / 3.0),
            ("-(2 ^ 2)", -4.0),
            ("2 * -3", -6.0),
            ("sqrt(9) + ln(1)", 3.0),
            ("10 - sqrt(4 * 4) / 2", 8.0),
            ("100 - 12 * 2 / 3 - 4 / 2", 90.0),
        ] {
            assert!(
                (value(text, &[]) - wanted).abs() < 1e-12,
                "{text} = {}",
                value(text, &[])
            );
        }
    }

    #[test]
    fn ids_are_sorted_and_written_with_a_hyphen() {
        let i = Index::parse("tensile_modulus / density").unwrap();
        assert_eq!(i.properties(), ["density", "tensile-modulus"]);
        assert!((i.value(&[1.25, 2500.0]) - 2000.0).abs() < 1e-9);
        assert!(i.value(&[1.25]).is_nan());
        assert!(value("ln(0 - density)", &[1.0]).is_nan());
    }

    #[test]
    fn every_fault_has_its_code() {
        let deep = format!("{}1{}", "(".repeat(21), ")".repeat(21));
        let just = format!("{}1{}", "(".repeat(20), ")".repeat(20));
        assert_eq!(code(&deep), "index::too-deep");
        assert!(Index::parse(&just).is_ok());
        assert_eq!(code(&"1+".repeat(101)), "index::too-long");
        assert_eq!(code("-2^2"), "index::ambiguous");
        assert_eq!(code("2^3^2"), "index::ambiguous");
        for text in [
            "exp(density)",
            "sin(1)",
            "density density",
            "",
            "1 +",
            "(1",
            "1)",
            "sqrt 4",
            "1.2.3",
            "1e3",
            "*2",
        ] {
            assert_eq!(code(text), "index::malformed", "{text}");
        }
        for text in ["density, 1", "{density}", "density % 2", "D", "1;2", "π"] {
            assert_eq!(code(text), "index::character", "{text}");
        }
    }

    proptest! {
        #[test]
        fn nothing_written_with_allowed_signs_makes_it_stumble(text in "[a-c0-2.+*/^() -]{0,40}|(sqrt|ln|\\(|\\)|1|a|-|\\^){0,20}") {
            if let Ok(i) = Index::parse(&text) {
                let figures = vec![1.5; i.properties().len()];
                let _ = i.value(&figures);
            }
        }
    }
}
