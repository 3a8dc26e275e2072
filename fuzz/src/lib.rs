//! What every fuzz target holds: no panic, no hang, and memory bounded by the input's size.

use std::alloc::{GlobalAlloc, Layout, System};
use std::io::{Cursor, Read};
use std::sync::atomic::{AtomicUsize, Ordering};

#[path = "../../tests/readers/mod.rs"]
pub mod readers;

/// A reader may use this many times the unpacked file.
const TIMES: usize = 50;
/// Files shorter than this count as this long: a reader has its own needs.
const SHORTEST: usize = 16 << 10;

/// Most bytes of a part of a spreadsheet file that are counted.
const LARGEST: u64 = 64 << 20;

static LIVE: AtomicUsize = AtomicUsize::new(0);
static PEAK: AtomicUsize = AtomicUsize::new(0);

struct Counting;

/// The system's allocator, counted.
///
/// Outside of the program itself: only an allocator sees how much memory is asked for.
#[allow(unsafe_code)]
unsafe impl GlobalAlloc for Counting {
    unsafe fn alloc(&self, layout: Layout) -> *mut u8 {
        let live = LIVE.fetch_add(layout.size(), Ordering::Relaxed) + layout.size();
        PEAK.fetch_max(live, Ordering::Relaxed);
        // SAFETY: the caller keeps the promises of `GlobalAlloc::alloc`, which are the system's.
        unsafe { System.alloc(layout) }
    }
    unsafe fn dealloc(&self, pointer: *mut u8, layout: Layout) {
        LIVE.fetch_sub(layout.size(), Ordering::Relaxed);
        // SAFETY: `pointer` came from `alloc` above with this layout.
        unsafe { System.dealloc(pointer, layout) }
    }
}

#[global_allocator]
static ALLOCATOR: Counting = Counting;

/// How much a spreadsheet file unpacks to, as far as its parts can be read; the length of any other.
pub fn unpacked(input: &[u8]) -> usize {
    let Ok(mut zip) = zip::ZipArchive::new(Cursor::new(input)) else {
        return input.len();
    };
    let mut bytes = input.len() as u64;
    for i in 0..zip.len() {
        if let Ok(part) = zip.by_index(i) {
            let mut part = part.take(LARGEST);
            let _ = std::io::copy(&mut part, &mut std::io::sink());
            bytes += LARGEST - part.limit();
        }
    }
    usize::try_from(bytes).unwrap_or(usize::MAX)
}

/// Runs a reader on an input of so many unpacked bytes.
///
/// # Panics
/// Where it needs more memory than [`TIMES`] the input.
pub fn bounded(unpacked: usize, reader: impl FnOnce()) {
    let before = LIVE.load(Ordering::Relaxed);
    PEAK.store(before, Ordering::Relaxed);
    reader();
    let used = PEAK.load(Ordering::Relaxed).saturating_sub(before);
    let most = TIMES * unpacked.max(SHORTEST);
    assert!(used <= most, "{used} bytes for an input of {unpacked}");
}
