//! Opening a workspace to change it.

use crate::catalog::{Store, shown};
use crate::cli::args::Common;
use crate::cli::output::Stop;
use crate::problem::Fault;

/// Takes the lock of the catalog that the common options name.
///
/// # Errors
/// `usage::demo-writes` for the demo, `usage::no-catalog` where there is no
/// catalog, a file fault where it takes no writing.
pub(super) fn open(common: &Common) -> Result<Store, Stop> {
    refuse_demo(common)?;
    let folder = common.catalog();
    if !folder.is_dir() {
        return Err(Stop::Usage(Fault::new(
            "usage::no-catalog",
            format!("there is no catalog at `{}`", shown(folder)),
            "name its folder with `--catalog DIR`, or make a workspace with `dutyfit init DIR`",
        )));
    }
    Ok(Store::open(folder)?)
}

/// Refuses to write into the demo.
///
/// # Errors
/// `usage::demo-writes`.
pub(super) fn refuse_demo(common: &Common) -> Result<(), Stop> {
    if !common.demo {
        return Ok(());
    }
    Err(Stop::Usage(Fault::new(
        "usage::demo-writes",
        "the demo inside the program cannot be changed",
        "leave `--demo` out, or make a workspace of your own with `dutyfit init DIR`",
    )))
}
