//! The one definition of the command line.

use crate::advise::summary::presets;
use crate::problem::Fault;
use crate::property::{Face, Lies, Moisture};
use clap::{Parser, Subcommand, ValueEnum};
use std::path::{Path, PathBuf};

/// Says which of your tested printing materials suits a part, and why.
#[derive(Debug, Parser)]
#[command(
    name = "dutyfit",
    version,
    about,
    disable_help_subcommand = true,
    after_help = EXAMPLES
)]
pub(super) struct Args {
    #[command(flatten)]
    pub(super) common: Common,
    #[command(subcommand)]
    pub(super) command: Option<Command>,
}

const EXAMPLES: &str = "\
Try it without a catalog of your own:
  dutyfit --demo shortlist greenhouse-washer
  dutyfit --demo show petg-a
  dutyfit --handbook shortlist bolt-washer

Exit codes: 0 answered; 1 answered, and the answer is no; 2 bad input or usage;
3 declined for safety; 4 a file could not be read or written.";

/// Options that stand before or after the command.
#[derive(Clone, Debug, clap::Args)]
pub(super) struct Common {
    /// Folder of the catalog, `catalog` if left out; cases, weights and policy stand beside it
    #[arg(long, global = true, value_name = "DIR")]
    pub(super) catalog: Option<PathBuf>,
    /// Use the demo inside the program; all its numbers are invented
    #[arg(long, global = true)]
    pub(super) demo: bool,
    /// Use published ranges, one candidate a polymer: an order and exclusions, never a fit
    #[arg(long, global = true)]
    pub(super) handbook: bool,
    /// How much each aim matters: a weights file, or the name of a saved one
    #[arg(long, global = true, value_name = "FILE|NAME")]
    pub(super) weights: Option<String>,
    /// Leave out what was recorded after this day
    #[arg(long, global = true, value_name = "YYYY-MM-DD")]
    pub(super) as_of: Option<String>,
    /// Answer without the lines that are wrong, and name them above the answer
    #[arg(long, global = true)]
    pub(super) skip_bad: bool,
    /// Start of the random draws; the same seed gives the same bytes
    #[arg(long, global = true, value_name = "N", default_value_t = 1)]
    pub(super) seed: u64,
    /// How to write the answer
    #[arg(
        long = "format",
        global = true,
        value_enum,
        value_name = "FORMAT",
        default_value_t
    )]
    pub(super) written: Written,
    /// The same for commands that write no other
    #[arg(skip)]
    pub(super) format: Format,
    /// Write the answer to a file in place of the screen
    #[arg(long, global = true, value_name = "FILE")]
    pub(super) out: Option<PathBuf>,
}

impl Common {
    /// Folder of the catalog.
    pub(super) fn catalog(&self) -> &Path {
        self.catalog.as_deref().unwrap_or(Path::new("catalog"))
    }
}

impl Args {
    /// Refuses the handbook where a command looks at readings alone: it holds none.
    ///
    /// # Errors
    /// `usage::handbook-not-here`.
    pub(super) fn settle_handbook(&self) -> Result<(), Fault> {
        let what = match &self.command {
            Some(Command::Reduce(_)) if self.common.handbook => {
                "`reduce` turns a sheet of readings"
            }
            Some(Command::Form(_)) if self.common.handbook => "`form` makes a sheet for readings",
            Some(Command::Compare(_)) if self.common.handbook => {
                "`compare` holds readings side by side (`sheet --among A,B` shows ranges so)"
            }
            Some(Command::RigCheck(_)) if self.common.handbook => "`rig-check` looks at readings",
            Some(Command::Lint(l)) if self.common.handbook && l.explain.is_none() => {
                "`lint` looks over your own files"
            }
            _ => return Ok(()),
        };
        Err(Fault::new(
            "usage::handbook-not-here",
            format!("{what}; the handbook is a table of ranges inside the program"),
            "leave `--handbook` out; it serves `shortlist`, `check`, `show` and `sheet`",
        ))
    }

    /// Sets the format that all commands know.
    ///
    /// # Errors
    /// `usage::format` where this command does not write the one that was asked for.
    pub(super) fn settle_format(&mut self) -> Result<(), Fault> {
        self.common.format = match self.common.written {
            Written::Text => Format::Text,
            Written::Json => Format::Json,
            Written::Markdown => Format::Markdown,
            Written::Csv if matches!(self.command, Some(Command::Sheet(_))) => Format::Text,
            Written::Csv => {
                return Err(Fault::new(
                    "usage::format",
                    "only `sheet` writes CSV",
                    "write `--format text`, `json` or `markdown`",
                ));
            }
        };
        Ok(())
    }
}

/// How an answer may be asked for.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, ValueEnum)]
pub(super) enum Written {
    /// Aligned text for a screen
    #[default]
    Text,
    /// JSON with a published schema
    Json,
    /// Markdown for a page
    Markdown,
    /// CSV for a spreadsheet, of `sheet` alone
    Csv,
}

/// How an answer is written, whatever the command.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Format {
    /// Aligned text for a screen.
    #[default]
    Text,
    /// JSON with a published schema.
    Json,
    /// Markdown for a page.
    Markdown,
}

#[derive(Debug, Subcommand)]
pub(super) enum Command {
    /// Rank the materials for a described use, with reasons, exclusions and cautions
    Shortlist(ShortlistArgs),
    /// Hold one material against each limit of a use, and say how far it can be pushed
    Check(CheckArgs),
    /// Turn a filled bench sheet into properties with intervals; needs no catalog
    Reduce(ReduceArgs),
    /// Print an empty sheet for the bench: columns, units, words, how to measure
    Form(FormArgs),
    /// Put filled sheets (CSV, XLSX, ODS) into the catalog, and say what they show
    Record(RecordArgs),
    /// Say what is known of a material, what it is good for and what is missing
    Show(ShowArgs),
    /// Keep a run in the catalog but leave it out of every figure, or take it back
    SetAside(SetAsideArgs),
    /// Give a material another id in every file that names it
    Rename(RenameArgs),
    /// Hold materials side by side: which is better in what, and how sure that is
    Compare(CompareArgs),
    /// Check each rig against its reference specimens: drift, repeatability, runs in doubt
    RigCheck(RigCheckArgs),
    /// Make a workspace: an empty catalog, an example case, schemas and a README
    Init(InitArgs),
    /// List everything wrong or doubtful in catalog, cases, weights and policy
    Lint(LintArgs),
    /// Write a case by answering questions about the part and its use
    Describe(DescribeArgs),
    /// List the part kinds and what each asks; of one, its inputs, limits, formulas and cautions
    Parts(PartsArgs),
    /// Print the JSON Schema of a file or output kind
    Schema(SchemaArgs),
    /// Print the summary table of all materials or of a selection
    Sheet(SheetArgs),
}

/// What changes a case for one answer.
#[derive(Debug, clap::Args)]
pub(super) struct CaseArgs {
    /// A case file, the name of a saved case, or a part kind for its worked example
    pub(super) case: String,
    /// Change one input, surrounding or the life, for example `--set torque="6 N.m"`
    #[arg(long = "set", value_name = "KEY=VALUE", value_parser = pair)]
    pub(super) sets: Vec<(String, String)>,
    /// Show each formula's label, inputs and figure
    #[arg(long)]
    pub(super) working: bool,
}

#[derive(Debug, clap::Args)]
pub(super) struct ShortlistArgs {
    #[command(flatten)]
    pub(super) case: CaseArgs,
    /// Judge only these materials
    #[arg(long, value_name = "A,B", value_delimiter = ',')]
    pub(super) among: Vec<String>,
    /// Leave these materials out
    #[arg(long, value_name = "A", value_delimiter = ',')]
    pub(super) without: Vec<String>,
    /// Show every row
    #[arg(long)]
    pub(super) all: bool,
}

#[derive(Debug, clap::Args)]
pub(super) struct CheckArgs {
    #[command(flatten)]
    pub(super) case: CaseArgs,
    /// The material
    pub(super) material: String,
}

#[derive(Debug, clap::Args)]
pub(super) struct ReduceArgs {
    /// A filled sheet: CSV, XLSX or ODS
    pub(super) file: PathBuf,
    #[command(flatten)]
    pub(super) sheet: FilledArgs,
    /// Show each step of each reduction
    #[arg(long)]
    pub(super) working: bool,
}

#[derive(Debug, clap::Args)]
pub(super) struct FormArgs {
    /// The test; all are listed if left out. `--out FILE.xlsx` makes a spreadsheet with drop-downs
    pub(super) test: Option<String>,
    /// Fill in conditions, rig and geometry as in an earlier run, for as many specimens
    #[arg(long, value_name = "RUN", requires = "test")]
    pub(super) like: Option<String>,
    /// Fill in the material
    #[arg(long, value_name = "ID", requires = "test")]
    pub(super) material: Option<String>,
    /// How many specimens to prepare
    #[arg(long, value_name = "N", requires = "test")]
    pub(super) specimens: Option<u32>,
}

#[derive(Debug, clap::Args)]
pub(super) struct RecordArgs {
    /// Filled sheets: CSV, XLSX or ODS; all their lines go in, or none
    #[arg(required = true, value_name = "FILE")]
    pub(super) files: Vec<PathBuf>,
    #[command(flatten)]
    pub(super) sheet: FilledArgs,
    /// Check everything and show what would be recorded; write nothing
    #[arg(long)]
    pub(super) dry_run: bool,
    /// The day of recording; today if left out
    #[arg(long, value_name = "YYYY-MM-DD")]
    pub(super) date: Option<String>,
}

/// How a filled sheet is read.
#[derive(Debug, clap::Args)]
pub(super) struct FilledArgs {
    /// What another header stands for, for example `--map "Kraft (kg)=force [kgf]"`; nothing
    /// behind the `=` leaves the column out
    #[arg(long = "map", value_name = "HEADER=COLUMN")]
    pub(super) maps: Vec<String>,
    /// Fill the blank cells of a column, for example `--set material=tpu-85-a`
    #[arg(long = "set", value_name = "COLUMN=VALUE", value_parser = pair)]
    pub(super) sets: Vec<(String, String)>,
    /// The test, where the columns do not tell
    #[arg(long, value_name = "TEST")]
    pub(super) test: Option<String>,
}

#[derive(Debug, clap::Args)]
pub(super) struct ShowArgs {
    /// The material
    pub(super) material: String,
    /// Show the whole way from readings to the interval of one property
    #[arg(long, value_name = "PROPERTY")]
    pub(super) why: Option<String>,
    #[command(flatten)]
    pub(super) ask: AskArgs,
}

/// The conditions that `--why` asks for.
#[derive(Debug, clap::Args)]
#[command(next_help_heading = "Conditions asked for by --why")]
pub(super) struct AskArgs {
    /// Temperature, for example `60` or `"60 degC"`; 23 degC if left out
    #[arg(
        long,
        value_name = "TEMPERATURE",
        requires = "why",
        allow_hyphen_values = true
    )]
    pub(super) at: Option<String>,
    /// Life at which curves are read, for example `"5 year"`; the longest reading if left out
    #[arg(long, value_name = "TIME", requires = "why")]
    pub(super) after: Option<String>,
    /// How the load lies to the layers; the property's default if left out
    #[arg(long, value_enum, requires = "why")]
    pub(super) lies: Option<LiesArg>,
    /// Moisture in use; room if left out
    #[arg(long, value_enum, requires = "why")]
    pub(super) moisture: Option<MoistureArg>,
    /// Surface it rubs against; any, and the worst, if left out
    #[arg(long, value_name = "SURFACE", requires = "why")]
    pub(super) on: Option<String>,
    /// Face in contact; any, and the worst, if left out
    #[arg(long, value_enum, requires = "why")]
    pub(super) face: Option<FaceArg>,
    /// Stress in use, for example `"5 MPa"`
    #[arg(long, value_name = "STRESS", requires = "why")]
    pub(super) under: Option<String>,
}

/// How a load lies to the layers.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub(super) enum LiesArg {
    /// In the plane of the layers: flat and edge evidence
    #[value(aliases = ["flat", "edge"])]
    InPlane,
    /// Across the layers
    Across,
}

impl From<LiesArg> for Lies {
    fn from(l: LiesArg) -> Self {
        match l {
            LiesArg::InPlane => Lies::InPlane,
            LiesArg::Across => Lies::Across,
        }
    }
}

/// Moisture in use.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub(super) enum MoistureArg {
    /// Kept dry
    Dried,
    /// As it stands in a room
    Room,
    /// Wet or soaked
    Wet,
}

impl From<MoistureArg> for Moisture {
    fn from(m: MoistureArg) -> Self {
        match m {
            MoistureArg::Dried => Moisture::Dried,
            MoistureArg::Room => Moisture::Room,
            MoistureArg::Wet => Moisture::Wet,
        }
    }
}

/// Face in contact.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub(super) enum FaceArg {
    /// The last layer
    Top,
    /// The face on the bed
    Bottom,
    /// A wall
    Side,
}

impl From<FaceArg> for Face {
    fn from(f: FaceArg) -> Self {
        match f {
            FaceArg::Top => Face::Top,
            FaceArg::Bottom => Face::Bottom,
            FaceArg::Side => Face::Side,
        }
    }
}

#[derive(Debug, clap::Args)]
pub(super) struct SetAsideArgs {
    /// The run
    pub(super) run: String,
    /// Why: it stays beside the readings
    #[arg(long, value_name = "TEXT", required_unless_present = "undo")]
    pub(super) reason: Option<String>,
    /// Take it back: it counts again
    #[arg(long)]
    pub(super) undo: bool,
    /// Only this specimen of the run
    #[arg(long, value_name = "N")]
    pub(super) specimen: Option<u32>,
    /// The day of the entry; today if left out
    #[arg(long, value_name = "YYYY-MM-DD")]
    pub(super) date: Option<String>,
}

#[derive(Debug, clap::Args)]
pub(super) struct RenameArgs {
    /// The material's id now
    pub(super) old: String,
    /// The id it shall have
    pub(super) new: String,
}

#[derive(Debug, clap::Args)]
pub(super) struct CompareArgs {
    /// Two materials or more
    #[arg(required = true, num_args = 2.., value_name = "MATERIAL")]
    pub(super) materials: Vec<String>,
    /// Only these properties
    #[arg(long, value_name = "A,B", value_delimiter = ',')]
    pub(super) property: Vec<String>,
    /// Temperature, for example `60` or `"60 degC"`; those they were tested at if left out
    #[arg(long, value_name = "TEMPERATURE", allow_hyphen_values = true)]
    pub(super) at: Option<String>,
    /// Life at which curves are read, for example `"5 year"`; the longest that all reach if left out
    #[arg(long, value_name = "TIME")]
    pub(super) after: Option<String>,
    /// How the load lies to the layers
    #[arg(long, value_enum)]
    pub(super) lies: Option<LiesArg>,
    /// Moisture in use
    #[arg(long, value_enum)]
    pub(super) moisture: Option<MoistureArg>,
    /// Surface they rub against
    #[arg(long, value_name = "SURFACE")]
    pub(super) on: Option<String>,
    /// Face in contact
    #[arg(long, value_enum)]
    pub(super) face: Option<FaceArg>,
}

#[derive(Debug, clap::Args)]
pub(super) struct RigCheckArgs {
    /// One rig, with all its charts; every rig if left out
    pub(super) rig: Option<String>,
}

#[derive(Debug, clap::Args)]
pub(super) struct InitArgs {
    /// The folder of the workspace; made where it is not there
    #[arg(value_name = "DIR")]
    pub(super) folder: PathBuf,
}

#[derive(Debug, clap::Args)]
pub(super) struct LintArgs {
    /// Say what a code such as `number::comma` means and how to mend it; without a code, list all
    #[arg(long, value_name = "CODE", num_args = 0..=1, default_missing_value = "")]
    pub(super) explain: Option<String>,
}

#[derive(Debug, clap::Args)]
#[command(after_help = DESCRIBE)]
pub(super) struct DescribeArgs {
    /// What the part is like: a part kind, or plain words such as `hook`; asked if left out
    pub(super) part: Option<String>,
    /// Answer one question instead of being asked any; `KEY=?` takes a stated assumption
    #[arg(long = "answer", value_name = "KEY=VALUE", value_parser = pair)]
    pub(super) answers: Vec<(String, String)>,
}

const DESCRIBE: &str = "\
The case is kept in `cases` beside the catalog, or in `--out FILE`. At any question
`?` tells why it is asked, `help` what else can be typed. Without a terminal:
  dutyfit describe support-foot --answer title=\"feet of a stool\" --answer mass=\"80 kg\" \\
    --answer shape=disc --answer diameter=\"30 mm\" --answer height=? --answer counterface=tile";

#[derive(Debug, clap::Args)]
pub(super) struct PartsArgs {
    /// One part kind
    pub(super) part: Option<String>,
}

#[derive(Debug, clap::Args)]
pub(super) struct SchemaArgs {
    /// The kind of file or output
    pub(super) kind: String,
}

#[derive(Debug, clap::Args)]
#[command(after_help = columns())]
pub(super) struct SheetArgs {
    /// Materials by name, or `all`, `flexible`, `rigid`; all if left out
    pub(super) which: Vec<String>,
    /// Only these materials, as by name
    #[arg(long, value_name = "A,B", value_delimiter = ',')]
    pub(super) among: Vec<String>,
    /// Leave these materials out
    #[arg(long, value_name = "A", value_delimiter = ',')]
    pub(super) without: Vec<String>,
    /// Only these polymers, each with its blends; `pc+pbt` for a blend
    #[arg(long, value_name = "POLYMER", value_delimiter = ',')]
    pub(super) polymer: Vec<String>,
    /// Columns: properties, or fields of materials.csv
    #[arg(long, value_name = "A,B", value_delimiter = ',')]
    pub(super) columns: Vec<String>,
    /// A named set of columns, listed below; `summary` if left out
    #[arg(long, value_name = "NAME")]
    pub(super) preset: Option<String>,
    /// Sort by this column, the better first; by polymer if left out, or as named
    #[arg(long, value_name = "COLUMN")]
    pub(super) by: Option<String>,
    /// Sort the other way round
    #[arg(long, requires = "by")]
    pub(super) reverse: bool,
    /// Life at which figures over time are read, for example `"5 year"`; 1000 h if left out
    #[arg(long, value_name = "TIME", allow_hyphen_values = true)]
    pub(super) life: Option<String>,
    /// Say of each figure how many specimens of how many prints it rests on
    #[arg(long)]
    pub(super) counts: bool,
    /// Show what the polymer lends too, marked
    #[arg(long)]
    pub(super) borrowed: bool,
}

const COLUMNS: &str = "\
A column is a property's id as `show` prints it, with conditions after strokes where
they are not its usual ones, or title, polymer, grade, kind, drying, nozzle, bed,
spool, note:
  dutyfit sheet flexible --preset flexible --by rebound
  dutyfit sheet --polymer petg,abs --columns tensile-strength/flat,price --counts
  dutyfit sheet --columns wear-rate/steel-smooth/top,creep-modulus/5year,shore-d/60degC
  dutyfit sheet --preset post --out post.txt
  dutyfit sheet --format csv --out sheet.csv";

/// How columns are written, and the presets with what they are for.
fn columns() -> String {
    let each: Vec<String> = presets()
        .iter()
        .map(|p| format!("  {:<9} {}", p.name, p.what))
        .collect();
    format!("Presets:\n{}\n\n{COLUMNS}", each.join("\n"))
}

fn pair(text: &str) -> Result<(String, String), String> {
    match text.split_once('=') {
        Some((k, v)) if !k.trim().is_empty() && !v.trim().is_empty() => {
            Ok((k.trim().to_owned(), v.trim().to_owned()))
        }
        _ => Err("write KEY=VALUE, for example torque=\"6 N.m\"".to_owned()),
    }
}
