//! Reading sheets: CSV in, runs out.

use crate::bench::{BenchTest, Rig, Run};
use crate::problem::Problem;

/// Reads `readings/TEST.csv`: `rigs` looks up a rig by name and date.
pub fn read_readings(
    file: &str,
    bytes: &[u8],
    test: &'static dyn BenchTest,
    as_of: Option<&str>,
    rigs: &dyn Fn(&str, Option<&str>) -> Option<Rig>,
) -> (Vec<Run>, Vec<Problem>) {
    let _ = (file, bytes, test, as_of, rigs);
    (Vec::new(), Vec::new())
}

/// Reads a sheet without a catalog: the test is known by its columns; material,
/// run and specimen may be left out.
///
/// # Errors
/// Every Problem of the sheet at once.
pub fn read_sheet(
    file: &str,
    bytes: &[u8],
) -> Result<(&'static dyn BenchTest, Vec<Run>), Vec<Problem>> {
    let _ = (file, bytes);
    Err(Vec::new())
}
