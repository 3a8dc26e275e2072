//! Other people's headers: what each of them stands for, as given and as kept in `maps.json`.

use crate::problem::Fault;

/// One header and the column it stands for.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct Map {
    /// Header as it stands in the sheet.
    pub(crate) header: String,
    /// Column as the catalog writes it, `force [kgf]`; empty for a header that is left out.
    pub(crate) column: String,
    /// Test in whose sheets it stands; `None` for all.
    pub(crate) test: Option<String>,
    /// A note.
    pub(crate) note: String,
}

/// The maps of a workspace.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub(crate) struct KeptMaps {
    /// One a header, or one a header and test.
    pub(crate) maps: Vec<Map>,
    /// A note on all of them.
    pub(crate) note: String,
}

/// All maps: the ones given now come before those kept.
#[derive(Clone, Debug, Default)]
pub(crate) struct Maps {
    given: Vec<Map>,
    kept: KeptMaps,
}

impl Maps {
    /// Maps given now, on top of those kept.
    pub(crate) fn new(given: &[(String, String)], kept: KeptMaps) -> Self {
        let given = given
            .iter()
            .map(|(header, column)| Map {
                header: plain(header),
                column: plain(column),
                test: None,
                note: String::new(),
            })
            .collect();
        Maps { given, kept }
    }

    /// The column that a header stands for in the sheet of a test.
    ///
    /// What was kept for another test counts where `usable` knows the column.
    pub(super) fn column(
        &self,
        header: &str,
        test: &str,
        usable: &dyn Fn(&str) -> bool,
    ) -> Option<&str> {
        let header = plain(header);
        let same = |m: &&Map| m.header == header;
        let of = |t: Option<&str>| {
            self.kept
                .maps
                .iter()
                .rev()
                .filter(same)
                .find(|m| m.test.as_deref() == t)
        };
        self.given
            .iter()
            .rev()
            .find(same)
            .or_else(|| of(Some(test)))
            .or_else(|| of(None))
            .or_else(|| {
                self.kept
                    .maps
                    .iter()
                    .rev()
                    .filter(same)
                    .find(|m| !m.column.is_empty() && usable(&m.column))
            })
            .map(|m| m.column.as_str())
    }

    /// The headers that were given now.
    pub(super) fn given(&self) -> impl Iterator<Item = &str> {
        self.given.iter().map(|m| m.header.as_str())
    }

    /// What to keep: the maps given now that the sheet of a test used, in the place of those
    /// they contradict; `None` where nothing changes.
    pub(crate) fn to_keep(&self, used: &[(String, &'static str)]) -> Option<KeptMaps> {
        let mut kept = self.kept.clone();
        for (header, test) in used {
            let Some(m) = self.given.iter().rev().find(|m| m.header == *header) else {
                continue;
            };
            let same = |k: &Map| k.header == m.header && k.test.as_deref() == Some(*test);
            let wanted = Map {
                test: Some((*test).to_owned()),
                ..m.clone()
            };
            match kept.maps.iter_mut().find(|k| same(k)) {
                Some(k) => *k = wanted,
                None => kept.maps.push(wanted),
            }
        }
        (kept != self.kept).then_some(kept)
    }
}

/// A header with single spaces.
pub(in crate::catalog) fn plain(header: &str) -> String {
    header.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// Splits `HEADER=COLUMN` at its last `=`, since other people's headers may hold one.
///
/// # Errors
/// `usage::map` where there is none or no header before it.
pub(crate) fn parse_map(text: &str) -> Result<(String, String), Fault> {
    match text.rsplit_once('=') {
        Some((header, column)) if !header.trim().is_empty() => Ok((plain(header), plain(column))),
        _ => Err(Fault::new(
            "usage::map",
            format!("`{text}` does not say what a header stands for"),
            "write HEADER=COLUMN, for example --map 'Kraft (kg)=force [kgf]'; nothing behind the `=` leaves the column out",
        )),
    }
}
