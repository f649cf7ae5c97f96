//! Where the project's parts come from. In go Cargo.lock, the lists of npm packages and deny.toml; out comes failure where
//! a part has no digest, comes from elsewhere than its registry, or is there in two versions without a reason. Licences
//! are held by the build tool (`www/src/licences.rs`); that both lists of them agree is held here.

use std::collections::BTreeMap;
use std::fs;
use std::path::PathBuf;

use serde_json::Value;

fn text(path: &str) -> String {
    let path = PathBuf::from(env!("CARGO_MANIFEST_DIR")).join(path);
    fs::read_to_string(&path).unwrap_or_else(|error| panic!("{}: {error}", path.display()))
}

/// The one registry that packages come from: where most of them come from.
fn registry_of(lock: &str) -> &str {
    let mut count: BTreeMap<&str, usize> = BTreeMap::new();
    for source in lock
        .lines()
        .filter_map(|line| line.strip_prefix("source = \"registry+https://"))
    {
        *count.entry(source.trim_end_matches('"')).or_default() += 1;
    }
    let most = count.into_iter().max_by_key(|(_, count)| *count);
    most.map_or("none", |(source, _)| source)
}

/// What is wrong with the packages of a Cargo.lock. Packages of the project itself have no source.
fn wrong_crates(lock: &str, own: &[&str]) -> Vec<String> {
    let registry = format!("registry+https://{}", registry_of(lock));
    let mut wrong = Vec::new();
    for package in lock.split("[[package]]").skip(1) {
        let value = |key: &str| {
            package
                .lines()
                .find_map(|line| line.strip_prefix(key)?.strip_prefix(" = \"")?.strip_suffix('"'))
        };
        let name = value("name").unwrap_or_default();
        match (value("source"), value("checksum")) {
            (None, None) if own.contains(&name) => {}
            (Some(source), Some(checksum)) if source == registry && checksum.len() == 64 => {}
            (source, checksum) => wrong.push(format!("{name}: source {source:?}, checksum {checksum:?}")),
        }
    }
    wrong
}

/// Names that stand in a Cargo.lock with more than one version.
fn twice(lock: &str) -> Vec<String> {
    let mut count: BTreeMap<&str, usize> = BTreeMap::new();
    for line in lock.lines() {
        if let Some(name) = line.strip_prefix("name = \"") {
            *count.entry(name.trim_end_matches('"')).or_default() += 1;
        }
    }
    let many = count.into_iter().filter(|(_, count)| *count > 1);
    many.map(|(name, _)| name.to_owned()).collect()
}

/// What is wrong with the packages of a package-lock.json.
fn wrong_npm(lock: &str) -> Vec<String> {
    let lock: Value = serde_json::from_str(lock).expect("JSON");
    let packages = lock["packages"].as_object().expect("packages");
    let mut wrong = Vec::new();
    for (name, package) in packages.iter().filter(|(name, _)| !name.is_empty()) {
        let integrity = package["integrity"].as_str().unwrap_or_default();
        if !integrity.starts_with("sha512-") {
            wrong.push(format!("{name}: integrity `{integrity}`"));
        }
        if package["resolved"]
            .as_str()
            .is_some_and(|from| !from.starts_with("https://"))
        {
            wrong.push(format!("{name}: from {}", package["resolved"]));
        }
    }
    wrong
}

/// The quoted words of a list in deny.toml.
fn listed(deny: &str, key: &str) -> Vec<String> {
    let (_, rest) = deny.split_once(&format!("\n{key} = [")).expect("the list");
    let (list, _) = rest.split_once("\n]").expect("its end");
    let entries = list.lines().filter_map(|line| line.split('"').nth(1));
    entries.map(str::to_owned).collect()
}

#[test]
fn every_crate_comes_from_the_registry_with_its_checksum() {
    let lock = text("Cargo.lock");
    assert!(lock.matches("[[package]]").count() > 100);
    assert_eq!(
        wrong_crates(&lock, &["hostwood", "hostwood-www", "hostwood-fuzz"]),
        Vec::<String>::new()
    );
}

#[test]
fn every_npm_package_has_its_digest() {
    for list in [
        "www/package-lock.json",
        "examples/adapters/package-lock.json",
        "tests/bench/page/package-lock.json",
    ] {
        assert_eq!(wrong_npm(&text(list)), Vec::<String>::new(), "{list}");
    }
}

#[test]
fn crates_that_are_there_twice_have_a_reason() {
    let named: Vec<String> = listed(&text("deny.toml"), "skip")
        .into_iter()
        .map(|entry| entry.split('@').next().unwrap_or_default().to_owned())
        .collect();
    let met = twice(&text("Cargo.lock"));
    for name in &met {
        assert!(
            named.contains(name),
            "{name} is there twice; say why in deny.toml"
        );
    }
    for name in &named {
        assert!(
            met.contains(name),
            "{name} is there once; take it out of deny.toml"
        );
    }
}

#[test]
fn both_lists_of_licences_agree() {
    let source = text("www/src/licences.rs");
    let (_, rest) = source.split_once("PERMISSIVE: [&str;").expect("the list");
    let (list, _) = rest.split_once("];").expect("its end");
    let own: Vec<&str> = list.split('"').skip(1).step_by(2).collect();
    assert_eq!(listed(&text("deny.toml"), "allow"), own);
}

#[test]
fn what_is_wrong_is_found() {
    let sound = format!(
        "[[package]]\nname = \"one\"\nversion = \"1.0.0\"\nsource = \"registry+https://index.example/main\"\nchecksum = \"{}\"\n",
        "0".repeat(64)
    );
    assert_eq!(wrong_crates(&sound, &[]), Vec::<String>::new());
    for bad in [
        sound.replace("checksum", "digest"),
        sound.replace("index.example/main", "index.example/other"),
        sound.replace("registry+https", "git+https"),
        sound.replace("source", "origin"),
        "[[package]]\nname = \"one\"\nversion = \"1.0.0\"\n".to_owned(),
    ] {
        let lock = format!("{sound}{sound}{bad}");
        assert_eq!(wrong_crates(&lock, &["hostwood"]).len(), 1, "{bad}");
    }
    assert_eq!(twice(&format!("{sound}{sound}")), ["one"]);
    for (bad, expected) in [
        (
            r#"{"packages": {"": {}, "a": {"integrity": "sha512-x", "resolved": "https://r.example/a.tgz"}}}"#,
            0,
        ),
        (r#"{"packages": {"": {}, "a": {}}}"#, 1),
        (r#"{"packages": {"a": {"integrity": "sha1-x"}}}"#, 1),
        (
            r#"{"packages": {"a": {"integrity": "sha512-x", "resolved": "git+ssh://r.example/a"}}}"#,
            1,
        ),
    ] {
        assert_eq!(wrong_npm(bad).len(), expected, "{bad}");
    }
}
