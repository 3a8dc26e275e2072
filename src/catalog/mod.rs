//! Files: the catalog, cases, weights and policy from disk, the demo or the handbook inside the program.
//!
//! Every Problem of every file is located and listed at once. The core gets
//! plain structs; only `cli` and tests reach the disk through here.

mod cells;
mod csv_text;
mod doubts;
mod edit;
mod embedded;
mod handbook;
mod header;
mod init;
mod intake;
mod json;
mod lines;
mod load;
mod lookup;
mod materials;
mod own;
mod prints;
mod rigs;
mod row;
mod sheet;
mod skip;
mod source;
mod stated;
mod store;
mod text;
mod words;
mod workspace;
mod write;

pub(crate) use cells::is_day;
pub(crate) use edit::{Aside, AsideOrder, NotRenamed, RenamedFile, renamed, set_aside};
pub(crate) use init::{EXAMPLE, new_workspace};
pub use intake::read_filled;
pub(crate) use intake::{
    Ask, Form, KeptMaps, MOST_SPECIMENS, Maps, NotRecorded, Prefill, Recorded, Recording, Request,
    form_book, headers_in_use, parse_map, prepare, run_pieces,
};
pub use json::{Beside, read_case, read_policy, read_weights};
pub(crate) use json::{CaseJson, MapsJson, PolicyJson, WeightsJson};
pub(crate) use lines::SURFACES;
pub use load::load_catalog;
pub(crate) use lookup::{json_files, read_json_text};
pub use prints::Print;
pub use sheet::{SheetRuns, read_sheet};
pub(crate) use sheet::{read_sheet_file, sheet_bytes};
pub(crate) use skip::skip_bad_lines;
pub use skip::{Skipped, skip_bad};
pub use source::{FileFault, Source};
pub(crate) use source::{Unread, in_words, shown};
pub use store::{Appended, Change, NewColumn, Store, append_lines};
pub(crate) use words::{all_nearest, check_id, known_surface, meant, nearest, one_of};
pub use workspace::{Catalog, Named, Origin, WeightsFile, lint, load_named_cases, load_weights};
pub(crate) use write::make_folder;
pub use write::replace_file;
