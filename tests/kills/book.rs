//! A book of readings in files of different manners, and the sheets that grow it.

use std::collections::BTreeMap;
use std::fmt::Write;
use std::path::{Path, PathBuf};

/// Bytes of all files, by name.
pub(crate) type Files = BTreeMap<String, Vec<u8>>;

/// A workspace on disk.
pub(crate) struct Book {
    root: PathBuf,
    materials: usize,
}

impl Book {
    /// Writes a book of so many materials into an empty folder, three specimens of four tests each.
    pub(crate) fn new(root: &Path, materials: usize) -> Self {
        let book = Book {
            root: root.to_owned(),
            materials,
        };
        std::fs::create_dir_all(book.catalog().join("readings")).expect("a folder");
        let mut list = "# invented\nmaterial,polymer,price [per kg],# shelf\n".to_owned();
        for m in 0..materials {
            let polymer = ["petg", "pla", "asa", "tpu"][m % 4];
            writeln!(
                list,
                "{},{polymer},{},{}",
                book.material(m),
                15 + m % 40,
                m % 7
            )
            .unwrap();
        }
        book.put("materials.csv", &list);
        // Commas and points; semicolons, decimal commas, CRLF and a byte order mark; tabs; no last line end.
        let mut tensile = "# my bars\nrun,specimen,date,material,direction,# shelf,width [mm],thickness [mm],force [N],outcome,set_aside,note\n".to_owned();
        let mut flexure = "\u{feff}specimen;run;material;date;direction;span [mm];width [mm];thickness [mm];force [kgf];deflection [mm];note\r\n".to_owned();
        let mut hardness =
            "run\tspecimen\tdate\tmaterial\tscale\thardness\tthickness [mm]\tnote\n".to_owned();
        let mut density = "note,run,specimen,date,material,mass [g],volume [cm3]".to_owned();
        for m in 0..materials {
            let id = book.material(m);
            for s in 1..=3 {
                let f = 900 + (m * 37 + s * 11) % 400;
                writeln!(tensile, "t-{m},{s},2026-05-01,{id},flat,,10,4,{f},,,").unwrap();
                write!(
                    flexure,
                    "{s};f-{m};{id};2026-05-02;flat;64;10;4;{},{s};3,{s};\r\n",
                    8 + f % 4
                )
                .unwrap();
                writeln!(
                    hardness,
                    "h-{m}\t{s}\t2026-05-03\t{id}\tD\t{}\t6\t",
                    60 + f % 20
                )
                .unwrap();
                write!(
                    density,
                    "\n,d-{m},{s},2026-05-04,{id},{}.{s},10",
                    11 + f % 3
                )
                .unwrap();
            }
        }
        book.put("readings/tensile.csv", &tensile);
        book.put("readings/flexure.csv", &flexure);
        book.put("readings/hardness.csv", &hardness);
        book.put("readings/density.csv", &density);
        book
    }

    fn put(&self, name: &str, text: &str) {
        std::fs::write(self.catalog().join(name), text).expect("a file");
    }

    /// The id of a material.
    pub(crate) fn material(&self, m: usize) -> String {
        format!("mat-{:03}", m % self.materials)
    }

    /// The folder of the catalog.
    pub(crate) fn catalog(&self) -> PathBuf {
        self.root.join("catalog")
    }

    /// The folder of the sheets, outside the workspace.
    fn sheets(&self) -> PathBuf {
        let folder = self.root.join("sheets");
        std::fs::create_dir_all(&folder).expect("a folder");
        folder
    }

    /// Every file of the catalog but the lock.
    pub(crate) fn files(&self) -> Files {
        fn walk(root: &Path, folder: &Path, into: &mut Files) {
            for entry in std::fs::read_dir(folder).expect("a folder").flatten() {
                let path = entry.path();
                if path.is_dir() {
                    walk(root, &path, into);
                } else if !path.ends_with(".lock") {
                    let name = path.strip_prefix(root).expect("inside").display();
                    into.insert(name.to_string(), std::fs::read(&path).expect("a file"));
                }
            }
        }
        let mut files = Files::new();
        walk(&self.catalog(), &self.catalog(), &mut files);
        files
    }

    /// Whether a change was left half done.
    pub(crate) fn has_note(&self) -> bool {
        self.catalog().join(".pending").exists()
    }

    /// The command that records a sheet.
    pub(crate) fn record(&self, sheet: &Path) -> Vec<String> {
        [
            "record",
            &sheet.display().to_string(),
            "--catalog",
            &self.catalog().display().to_string(),
            "--date",
            "2026-06-01",
        ]
        .map(str::to_owned)
        .to_vec()
    }

    /// The command that renames a material.
    pub(crate) fn rename(&self, old: &str, new: &str) -> Vec<String> {
        [
            "rename",
            old,
            new,
            "--catalog",
            &self.catalog().display().to_string(),
        ]
        .map(str::to_owned)
        .to_vec()
    }

    /// A CSV sheet of one test; each line's note is its tag. No two serial numbers share a reading.
    pub(crate) fn one_sheet(&self, name: &str, serial: usize, tags: &[String]) -> PathBuf {
        let mut text = "date,material,direction,span [mm],width [mm],thickness [mm],force [N],deflection [mm],note\n".to_owned();
        for (s, tag) in tags.iter().enumerate() {
            let id = self.material(serial);
            let force = 90 + s;
            writeln!(
                text,
                "2026-06-01,{id},flat,64,10,4,{force}.{serial:05},3.{s},{tag}"
            )
            .unwrap();
        }
        let path = self.sheets().join(format!("{name}.csv"));
        std::fs::write(&path, text).expect("a file");
        path
    }

    /// A spreadsheet of three tests; each line's note is its tag, with the test's letter before it.
    pub(crate) fn three_sheets(&self, name: &str, serial: usize, tags: &[String]) -> PathBuf {
        let id = self.material(serial);
        let apart = serial as f64 / 100_000.0;
        let mut book = rust_xlsxwriter::Workbook::new();
        let tables: [(&str, &str, &[&str], &[f64]); 3] = [
            (
                "Tensile",
                "t",
                &["width [mm]", "thickness [mm]", "force [N]"],
                &[10.0, 4.0, 1234.5],
            ),
            (
                "Hardness",
                "h",
                &["hardness", "thickness [mm]"],
                &[71.5, 6.0],
            ),
            ("Density", "d", &["mass [g]", "volume [cm3]"], &[12.3, 10.0]),
        ];
        for (title, letter, columns, figures) in tables {
            let sheet = book.add_worksheet();
            sheet.set_name(title).expect("a name");
            let mut heads = vec!["date", "material", "note"];
            heads.extend(match letter {
                "t" => Some("direction"),
                "h" => Some("scale"),
                _ => None,
            });
            heads.extend(columns);
            for (c, head) in (0_u16..).zip(&heads) {
                sheet.write_string(0, c, *head).expect("a cell");
            }
            for (r, tag) in (1_u32..).zip(tags) {
                let mut words = vec![
                    "2026-06-01".to_owned(),
                    id.clone(),
                    format!("{letter}-{tag}"),
                ];
                words.extend(match letter {
                    "t" => Some("flat".to_owned()),
                    "h" => Some("D".to_owned()),
                    _ => None,
                });
                let mut c = 0_u16;
                for word in &words {
                    sheet.write_string(r, c, word).expect("a cell");
                    c += 1;
                }
                for figure in figures {
                    sheet.write_number(r, c, figure + apart).expect("a cell");
                    c += 1;
                }
            }
        }
        let path = self.sheets().join(format!("{name}.xlsx"));
        book.save(&path).expect("a file");
        path
    }
}

/// How often a text stands in the bytes of all files.
pub(crate) fn count(files: &Files, tag: &str) -> usize {
    files.values().map(|bytes| count_in(bytes, tag)).sum()
}

/// How often a text stands in some bytes.
pub(crate) fn count_in(bytes: &[u8], tag: &str) -> usize {
    String::from_utf8_lossy(bytes).matches(tag).count()
}
