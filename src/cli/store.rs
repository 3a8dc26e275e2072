//! Opening a workspace to change it.

use crate::catalog::{Catalog, Source, Store, load_catalog, shown};
use crate::cli::args::Common;
use crate::cli::find::has_errors;
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

/// The whole catalog, to be changed only where nothing in it is wrong.
///
/// # Errors
/// Its Problems, if any is an error; a file fault.
pub(super) fn sound(source: &Source) -> Result<Catalog, Stop> {
    let catalog = load_catalog(source, None)?;
    if has_errors(&catalog.problems) {
        return Err(Stop::Problems(catalog.problems));
    }
    Ok(catalog)
}

/// Refuses to write into what is inside the program.
///
/// # Errors
/// `usage::demo-writes`, `usage::handbook-writes`.
pub(super) fn refuse_demo(common: &Common) -> Result<(), Stop> {
    if common.handbook {
        return Err(Stop::Usage(Fault::new(
            "usage::handbook-writes",
            "the handbook inside the program cannot be changed",
            "leave `--handbook` out, or make a workspace of your own with `dutyfit init DIR`",
        )));
    }
    if !common.demo {
        return Ok(());
    }
    Err(Stop::Usage(Fault::new(
        "usage::demo-writes",
        "the demo inside the program cannot be changed",
        "leave `--demo` out, or make a workspace of your own with `dutyfit init DIR`",
    )))
}
