//! Many programs that record at once.

use super::Program;
use super::book::{Book, count};

/// Lets so many recorders record so many sheets each at the same time; panics where a line is not there once.
pub(crate) fn crowd(program: &Program, book: &Book, recorders: usize, records: usize) -> usize {
    let before = count(&book.files(), "tag-");
    std::thread::scope(|threads| {
        for r in 0..recorders {
            threads.spawn(move || {
                for k in 0..records {
                    let tags = [format!("tag-r{r}-k{k}-end")];
                    let name = format!("crowd-{r}-{k}");
                    // Half of them into one file, half into three.
                    let sheet = if (r + k) % 2 == 0 {
                        book.one_sheet(&name, r * records + k, &tags)
                    } else {
                        book.three_sheets(&name, r * records + k, &tags)
                    };
                    program.finish(&book.record(&sheet));
                }
            });
        }
    });
    let files = book.files();
    let mut lines = 0;
    for r in 0..recorders {
        for k in 0..records {
            let times = if (r + k) % 2 == 0 { 1 } else { 3 };
            let tag = format!("tag-r{r}-k{k}-end");
            assert_eq!(count(&files, &tag), times, "{tag}");
            lines += times;
        }
    }
    assert_eq!(
        count(&files, "tag-"),
        before + lines,
        "lines lost or doubled"
    );
    assert!(!book.has_note());
    lines
}
