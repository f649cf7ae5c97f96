//! One fuzz target, chosen by name: in goes `HOSTWOOD_FUZZ` from the environment and bytes from libFuzzer, out come paths
//! through the code that were not seen before, and inputs that break a promise. `cargo www fuzz` builds and runs it; what
//! each target promises stands in `targets.rs`.

#![no_main]

mod targets;

use std::sync::LazyLock;

use libfuzzer_sys::fuzz_target;
use targets::{TARGETS, Target};

static CHOSEN: LazyLock<&Target> = LazyLock::new(|| {
    let wanted = std::env::var("HOSTWOOD_FUZZ").unwrap_or_default();
    match TARGETS.iter().find(|target| target.name == wanted) {
        Some(target) => target,
        None => {
            let names: Vec<&str> = TARGETS.iter().map(|target| target.name).collect();
            panic!(
                "HOSTWOOD_FUZZ is `{wanted}`, expected one of {}",
                names.join(", ")
            )
        }
    }
});

fuzz_target!(|bytes: &[u8]| (CHOSEN.run)(bytes));
