//! Units: text such as `mm3/(N.m)`, what dimension it has, and how to convert.

use crate::problem::Fault;
use std::fmt;

/// Number of base dimensions.
const BASES: usize = 11;
const LENGTH: usize = 0;
const MASS: usize = 1;
const TIME: usize = 2;
const KELVIN: usize = 3;
const POINT: usize = 4;
const CURRENT: usize = 5;
const SHORE_A: usize = 6;
const SHORE_D: usize = 7;
const MONEY: usize = 8;
const ANGLE: usize = 9;
const DECADE: usize = 10;

/// Exponents of the base dimensions, in halves (so that `MPa.m^0.5` can stand).
#[derive(Clone, Copy, PartialEq, Eq, Debug, Hash)]
pub struct Dimension([i8; BASES]);

impl Dimension {
    const fn none() -> Self {
        Dimension([0; BASES])
    }

    const fn of(pairs: &[(usize, i8)]) -> Self {
        let mut d = [0; BASES];
        let mut i = 0;
        while i < pairs.len() {
            d[pairs[i].0] = 2 * pairs[i].1;
            i += 1;
        }
        Dimension(d)
    }

    fn times(self, other: Self, power_halves: i32) -> Option<Self> {
        let mut d = self.0;
        for (a, b) in d.iter_mut().zip(other.0) {
            let add = i32::from(b) * power_halves / 2;
            *a = i8::try_from(i32::from(*a) + add).ok()?;
        }
        Some(Dimension(d))
    }

    /// The dimension in words, with the units to write: `a force (N, kgf)`.
    pub fn describe(self) -> String {
        for (unit, words) in NAMED {
            if Unit::parse(unit).is_ok_and(|u| u.dimension == self) {
                return (*words).to_owned();
            }
        }
        "another kind of quantity".to_owned()
    }
}

/// Dimensions that have a name; the first unit decides which.
const NAMED: &[(&str, &str)] = &[
    ("1", "a pure number (1, %)"),
    ("N", "a force (N, kgf, lbf)"),
    ("MPa", "a stress or pressure (MPa, kPa, kgf/cm2, psi)"),
    ("mm", "a length (mm, um, m, in)"),
    ("mm2", "an area (mm2, cm2)"),
    ("mm3", "a volume (mm3, cm3)"),
    ("s", "a time (s, min, h, d, year)"),
    ("degC", "a temperature (degC, degF)"),
    ("K", "a temperature difference (K)"),
    ("N.m", "a torque or an energy (N.m, kgf.cm, J)"),
    ("kJ/m2", "an energy per area (kJ/m2) or a stiffness (N/mm)"),
    ("g", "a mass (g, kg)"),
    ("g/cm3", "a density (g/cm3, kg/m3)"),
    ("deg", "an angle (deg)"),
    ("Hz", "a frequency (Hz, rpm)"),
    ("m/s", "a speed (m/s, mm/s)"),
    ("mm3/s", "a volume flow (mm3/s)"),
    ("MPa.m/s", "a pressure times speed (MPa.m/s)"),
    ("mm3/(N.m)", "a specific wear rate (mm3/(N.m))"),
    ("1/K", "an expansion (1/K, um/(m.K))"),
    ("W/(m.K)", "a conductivity (W/(m.K))"),
    ("K/W", "a thermal resistance (K/W)"),
    ("J/(kg.K)", "a heat capacity (J/(kg.K))"),
    ("mm2/s", "a diffusivity (mm2/s)"),
    ("ohm.m", "a resistivity (ohm.m)"),
    ("MPa.m^0.5", "a fracture toughness (MPa.m^0.5)"),
    ("1/decade", "a loss per decade (1/decade)"),
    ("shoreA", "a Shore A hardness (shoreA)"),
    ("shoreD", "a Shore D hardness (shoreD)"),
    ("per kg", "a price (per kg)"),
    ("K/h", "a heating rate (K/h)"),
];

/// Symbol, dimension, factor to SI, shift to SI (temperature points only).
type Row = (&'static str, Dimension, f64, f64);

const FORCE: Dimension = Dimension::of(&[(LENGTH, 1), (MASS, 1), (TIME, -2)]);
const STRESS: Dimension = Dimension::of(&[(LENGTH, -1), (MASS, 1), (TIME, -2)]);
const ENERGY: Dimension = Dimension::of(&[(LENGTH, 2), (MASS, 1), (TIME, -2)]);
const POWER: Dimension = Dimension::of(&[(LENGTH, 2), (MASS, 1), (TIME, -3)]);
const ONE: Dimension = Dimension::none();
const METRE: Dimension = Dimension::of(&[(LENGTH, 1)]);
const AREA: Dimension = Dimension::of(&[(LENGTH, 2)]);
const VOLUME: Dimension = Dimension::of(&[(LENGTH, 3)]);
const SECOND: Dimension = Dimension::of(&[(TIME, 1)]);
const PER_SECOND: Dimension = Dimension::of(&[(TIME, -1)]);
const GRAM: Dimension = Dimension::of(&[(MASS, 1)]);

/// Standard gravity, m/s2 (ISO 80000-3; exact by definition).
const GN: f64 = 9.80665;
/// Avoirdupois pound, kg (exact by definition).
const POUND: f64 = 0.453_592_37;
/// Inch, m (exact by definition).
const INCH: f64 = 0.0254;
/// Year of 365.25 days, s.
const YEAR: f64 = 365.25 * 86_400.0;

const TABLE: &[Row] = &[
    ("1", ONE, 1.0, 0.0),
    ("%", ONE, 0.01, 0.0),
    ("cycles", ONE, 1.0, 0.0),
    ("strokes", ONE, 1.0, 0.0),
    ("turns", ONE, 1.0, 0.0),
    ("N", FORCE, 1.0, 0.0),
    ("kN", FORCE, 1e3, 0.0),
    ("kgf", FORCE, GN, 0.0),
    ("gf", FORCE, GN * 1e-3, 0.0),
    ("lbf", FORCE, POUND * GN, 0.0),
    ("MPa", STRESS, 1e6, 0.0),
    ("GPa", STRESS, 1e9, 0.0),
    ("kPa", STRESS, 1e3, 0.0),
    ("Pa", STRESS, 1.0, 0.0),
    ("psi", STRESS, POUND * GN / (INCH * INCH), 0.0),
    ("bar", STRESS, 1e5, 0.0),
    ("um", METRE, 1e-6, 0.0),
    ("mm", METRE, 1e-3, 0.0),
    ("cm", METRE, 1e-2, 0.0),
    ("m", METRE, 1.0, 0.0),
    ("km", METRE, 1e3, 0.0),
    ("in", METRE, INCH, 0.0),
    ("ft", METRE, 12.0 * INCH, 0.0),
    ("mm2", AREA, 1e-6, 0.0),
    ("cm2", AREA, 1e-4, 0.0),
    ("m2", AREA, 1.0, 0.0),
    ("mm3", VOLUME, 1e-9, 0.0),
    ("cm3", VOLUME, 1e-6, 0.0),
    ("m3", VOLUME, 1.0, 0.0),
    ("mL", VOLUME, 1e-6, 0.0),
    ("s", SECOND, 1.0, 0.0),
    ("min", SECOND, 60.0, 0.0),
    ("h", SECOND, 3600.0, 0.0),
    ("d", SECOND, 86_400.0, 0.0),
    ("week", SECOND, 604_800.0, 0.0),
    ("year", SECOND, YEAR, 0.0),
    ("degC", Dimension::of(&[(POINT, 1)]), 1.0, 273.15),
    (
        "degF",
        Dimension::of(&[(POINT, 1)]),
        5.0 / 9.0,
        459.67 * 5.0 / 9.0,
    ),
    ("K", Dimension::of(&[(KELVIN, 1)]), 1.0, 0.0),
    ("J", ENERGY, 1.0, 0.0),
    ("kJ", ENERGY, 1e3, 0.0),
    ("W", POWER, 1.0, 0.0),
    ("g", GRAM, 1e-3, 0.0),
    ("mg", GRAM, 1e-6, 0.0),
    ("kg", GRAM, 1.0, 0.0),
    ("lb", GRAM, POUND, 0.0),
    (
        "deg",
        Dimension::of(&[(ANGLE, 1)]),
        std::f64::consts::PI / 180.0,
        0.0,
    ),
    ("rpm", PER_SECOND, 1.0 / 60.0, 0.0),
    ("Hz", PER_SECOND, 1.0, 0.0),
    (
        "ohm",
        Dimension::of(&[(LENGTH, 2), (MASS, 1), (TIME, -3), (CURRENT, -2)]),
        1.0,
        0.0,
    ),
    ("decade", Dimension::of(&[(DECADE, 1)]), 1.0, 0.0),
    ("shoreA", Dimension::of(&[(SHORE_A, 1)]), 1.0, 0.0),
    ("shoreD", Dimension::of(&[(SHORE_D, 1)]), 1.0, 0.0),
    ("per kg", Dimension::of(&[(MONEY, 1), (MASS, -1)]), 1.0, 0.0),
];

/// A unit: what was written, its dimension and its conversion.
#[derive(Clone, Debug, PartialEq)]
pub struct Unit {
    text: String,
    dimension: Dimension,
    factor: f64,
    shift: f64,
}

impl fmt::Display for Unit {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.text)
    }
}

impl Unit {
    /// Reads a unit such as `kgf/cm2`, `mm3/(N.m)`, `1/K`, `MPa.m^0.5`, `per kg`.
    ///
    /// Products with `.`, quotients with `/`, powers with `^`; after `/` one
    /// factor or a bracket. A temperature point (`degC`) stands only alone.
    ///
    /// # Errors
    /// `unit::unknown` with the nearest known symbol, `unit::malformed`.
    pub fn parse(text: &str) -> Result<Unit, Fault> {
        let clean = text
            .trim()
            .replace(['\u{b5}', '\u{3bc}'], "u")
            .replace("\u{b0}C", "degC")
            .replace("\u{b0}F", "degF")
            .replace('\u{b2}', "2")
            .replace('\u{b3}', "3")
            .replace(['\u{b7}', '*'], ".");
        if let Some(row) = TABLE.iter().find(|r| r.0 == clean) {
            return Ok(Unit {
                text: clean,
                dimension: row.1,
                factor: row.2,
                shift: row.3,
            });
        }
        // `1.1` and `1.K` are products by the letter, and begin with a figure to everybody who reads them.
        if clean.starts_with(|c: char| c.is_ascii_digit() || c == '.') && !clean.starts_with("1/") {
            return Err(malformed(&clean));
        }
        let mut parser = Parser {
            rest: &clean,
            whole: &clean,
            depth: 0,
        };
        let (dimension, factor) = parser.product()?;
        if !parser.rest.is_empty() {
            return Err(malformed(&clean));
        }
        Ok(Unit {
            text: clean.clone(),
            dimension,
            factor,
            shift: 0.0,
        })
    }

    /// As [`Unit::parse`], where a unit of the kind of `wanted` belongs.
    ///
    /// # Errors
    /// As [`Unit::parse`], with the nearest unit of that kind.
    pub fn parse_as(text: &str, wanted: &Unit) -> Result<Unit, Fault> {
        Unit::parse(text).map_err(|f| {
            if !matches!(f.code, "unit::unknown" | "unit::malformed") {
                return f;
            }
            let fix = match near_of(text.trim(), wanted.dimension) {
                Some(near) => format!("write `{near}` if that is what was meant"),
                None => format!("write it in {wanted} or a unit of the same kind"),
            };
            Fault { fix, ..f }
        })
    }

    /// The dimension.
    pub fn dimension(&self) -> Dimension {
        self.dimension
    }

    /// Whether it is a pure number (`1`, `%`, `cycles` ...).
    pub fn is_pure(&self) -> bool {
        self.dimension == ONE
    }

    /// `x` of this unit in `to`; both must have the same dimension.
    pub fn convert(&self, x: f64, to: &Unit) -> f64 {
        if self.text == to.text {
            return x;
        }
        (x * self.factor + self.shift - to.shift) / to.factor
    }

    /// A difference of `x` of this unit in `to` (no shift between temperature scales).
    pub fn convert_difference(&self, x: f64, to: &Unit) -> f64 {
        if self.text == to.text {
            return x;
        }
        x * self.factor / to.factor
    }

    /// Why this unit cannot stand where `wanted` is asked; `None` if it can.
    pub fn conversion_fault(&self, wanted: &Unit, written: &str, what: &str) -> Option<Fault> {
        if self.dimension == wanted.dimension {
            return None;
        }
        if self.dimension == GRAM && wanted.dimension == FORCE {
            let f = match self.text.as_str() {
                "g" | "mg" => "gf",
                "lb" => "lbf",
                _ => "kgf",
            };
            return Some(Fault::new(
                "unit::mass-for-force",
                format!("`{written}` is a mass, but `{what}` takes a force (N or kgf)"),
                format!(
                    "write `{f}` in place of `{}` if a scale showed it",
                    self.text
                ),
            ));
        }
        if self.dimension == Dimension::of(&[(KELVIN, 1)])
            && wanted.dimension == Dimension::of(&[(POINT, 1)])
        {
            return Some(Fault::new(
                "unit::difference-for-point",
                format!(
                    "`{written}` is a temperature difference, but `{what}` takes a temperature"
                ),
                "write it in degC; K stands for differences only",
            ));
        }
        Some(Fault::new(
            "unit::wrong-dimension",
            format!(
                "`{written}` is {}, but `{what}` takes {}",
                self.dimension.describe(),
                wanted.dimension.describe()
            ),
            format!("write it in {wanted} or a unit of the same kind"),
        ))
    }
}

/// The unit of a dimension that is most like `text`: two symbols run together (`Nm`), else the
/// nearest symbol.
fn near_of(text: &str, dimension: Dimension) -> Option<String> {
    let symbol = |s: &str| {
        let same = |row: &&Row| row.0 == s;
        let alike = |row: &&Row| row.0.eq_ignore_ascii_case(s);
        TABLE
            .iter()
            .find(same)
            .or_else(|| TABLE.iter().find(alike))
            .map(|row| row.0)
    };
    let product = text.char_indices().skip(1).find_map(|(i, _)| {
        let (a, b) = text.split_at(i);
        let b = b.trim_start_matches([' ', '-', '_']);
        let product = format!("{}.{}", symbol(a.trim())?, symbol(b)?);
        Unit::parse(&product)
            .is_ok_and(|u| u.dimension == dimension)
            .then_some(product)
    });
    let nearest = || {
        let lower = text.to_lowercase();
        TABLE
            .iter()
            .filter(|row| row.1 == dimension)
            .map(|row| {
                let d = strsim::damerau_levenshtein(&row.0.to_lowercase(), &lower);
                (d, row.0)
            })
            // One that begins alike comes first: `yrs` is no second.
            .map(|(d, symbol)| (symbol.chars().next() != text.chars().next(), d, symbol))
            .min_by_key(|near| (near.0, near.1))
            .filter(|(other, d, _)| *d <= if *other { 2 } else { 3 })
            .filter(|(other, d, _)| !other || *d < text.len().max(2))
            .map(|near| near.2.to_owned())
    };
    product.or_else(nearest)
}

fn malformed(text: &str) -> Fault {
    Fault::new(
        "unit::malformed",
        format!("`{text}` is not a unit"),
        "write units as `N`, `kgf/cm2`, `mm3/(N.m)`, `1/K` or `MPa.m^0.5`",
    )
}

struct Parser<'a> {
    rest: &'a str,
    whole: &'a str,
    depth: usize,
}

impl Parser<'_> {
    fn product(&mut self) -> Result<(Dimension, f64), Fault> {
        let (mut dim, mut factor) = self.power()?;
        loop {
            let sign = match self.rest.as_bytes().first() {
                Some(b'.') => 2,
                Some(b'/') => -2,
                _ => return Ok((dim, factor)),
            };
            self.rest = &self.rest[1..];
            let (d, f) = self.power()?;
            dim = dim.times(d, sign).ok_or_else(|| malformed(self.whole))?;
            factor = if sign > 0 { factor * f } else { factor / f };
        }
    }

    fn power(&mut self) -> Result<(Dimension, f64), Fault> {
        let (dim, factor) = self.atom()?;
        let Some(tail) = self.rest.strip_prefix('^') else {
            return Ok((dim, factor));
        };
        let end = tail
            .find(|c: char| !(c.is_ascii_digit() || c == '.' || c == '-'))
            .unwrap_or(tail.len());
        let digits = tail[..end].trim_end_matches('.');
        let p: f64 = digits.parse().map_err(|_| malformed(self.whole))?;
        let halves = p * 2.0;
        if halves.fract().abs() > 0.0 || halves.abs() > 16.0 {
            return Err(malformed(self.whole));
        }
        self.rest = &tail[digits.len()..];
        #[expect(
            clippy::cast_possible_truncation,
            reason = "checked to be within 16 above"
        )]
        let dim = ONE
            .times(dim, halves as i32)
            .ok_or_else(|| malformed(self.whole))?;
        Ok((dim, factor.powf(p)))
    }

    fn atom(&mut self) -> Result<(Dimension, f64), Fault> {
        if let Some(inner) = self.rest.strip_prefix('(') {
            self.depth += 1;
            if self.depth > 8 {
                return Err(malformed(self.whole));
            }
            self.rest = inner;
            let got = self.product()?;
            self.rest = self
                .rest
                .strip_prefix(')')
                .ok_or_else(|| malformed(self.whole))?;
            self.depth -= 1;
            return Ok(got);
        }
        let end = self
            .rest
            .find(|c: char| !(c.is_ascii_alphanumeric() || c == '%'))
            .unwrap_or(self.rest.len());
        let symbol = &self.rest[..end];
        if symbol.is_empty() {
            return Err(malformed(self.whole));
        }
        self.rest = &self.rest[end..];
        match TABLE.iter().find(|r| r.0 == symbol) {
            Some(r) if r.3 == 0.0 => Ok((r.1, r.2)),
            Some(_) => Err(Fault::new(
                "unit::point-in-product",
                format!("`{}` multiplies a temperature point", self.whole),
                "write K in products and quotients",
            )),
            None => {
                let near = TABLE
                    .iter()
                    .map(|r| {
                        (
                            strsim::damerau_levenshtein(
                                &r.0.to_lowercase(),
                                &symbol.to_lowercase(),
                            ),
                            r.0,
                        )
                    })
                    .min_by_key(|p| p.0)
                    .filter(|p| p.0 <= 2 && p.0 < symbol.len().max(2));
                Err(Fault::new(
                    "unit::unknown",
                    format!("`{symbol}` is not a unit that is known here"),
                    match near {
                        Some((_, n)) => format!("write `{n}` if that is what was meant"),
                        None => "write a unit such as N, kgf, MPa, mm, degC, h or %".to_owned(),
                    },
                ))
            }
        }
    }
}
