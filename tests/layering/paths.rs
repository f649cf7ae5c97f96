//! The paths that a Rust source names, read from its tokens.
//!
//! In: the text of one file and the module it is. Out: each path with its line, `self` and `super` resolved to
//! `crate::…`, groups of imports taken apart. What stands in comments, strings and `#[cfg(test)]` items is left out.

use proc_macro2::{Delimiter, TokenStream, TokenTree};

/// A path as named in a file.
#[derive(Debug, PartialEq)]
pub(crate) struct Named {
    /// Its parts; what lies in this crate begins with `crate`.
    pub(crate) path: Vec<String>,
    /// The line its last part stands on, from 1.
    pub(crate) line: usize,
}

/// Every path in `source`, which is the file of `module`; a lone name counts as a path of one part.
pub(crate) fn named_in(source: &str, module: &[String]) -> Result<Vec<Named>, String> {
    let tokens: TokenStream = source.parse().map_err(|trouble| format!("{trouble}"))?;
    let mut reading = Reading {
        named: Vec::new(),
        test_modules: Vec::new(),
    };
    reading.tokens(tokens, module);
    Ok(reading.named)
}

/// The modules that `source` takes in from other files for its tests alone.
pub(crate) fn test_modules(source: &str, module: &[String]) -> Vec<Vec<String>> {
    let Ok(tokens) = source.parse::<TokenStream>() else {
        return Vec::new();
    };
    let mut reading = Reading {
        named: Vec::new(),
        test_modules: Vec::new(),
    };
    reading.tokens(tokens, module);
    reading.test_modules
}

struct Reading {
    named: Vec<Named>,
    test_modules: Vec<Vec<String>>,
}

impl Reading {
    fn tokens(&mut self, tokens: TokenStream, module: &[String]) {
        let tokens: Vec<TokenTree> = tokens.into_iter().collect();
        let mut at = 0;
        while at < tokens.len() {
            if is_cfg_test(&tokens[at..]) {
                at = self.past_test_item(&tokens, at + 2, module);
            } else if let (Some("mod"), Some(name), Some(body)) = (
                ident(&tokens, at).as_deref(),
                ident(&tokens, at + 1),
                braces(&tokens, at + 2),
            ) {
                let inner: Vec<String> = module.iter().cloned().chain([name]).collect();
                self.tokens(body, &inner);
                at += 3;
            } else if ident(&tokens, at).is_some() {
                at = self.path(&tokens, at, &[], module);
            } else {
                if let TokenTree::Group(group) = &tokens[at] {
                    self.tokens(group.stream(), module);
                }
                at += 1;
            }
        }
    }

    /// Reads the path that begins at `at`, following `before`; gives back where it ends.
    fn path(&mut self, tokens: &[TokenTree], mut at: usize, before: &[String], module: &[String]) -> usize {
        let mut path = before.to_vec();
        let mut line = 0;
        while let Some(part) = ident(tokens, at) {
            line = tokens[at].span().start().line;
            if part != "self" || path.is_empty() {
                path.push(part);
            }
            at += 1;
            if !is_colons(tokens, at) {
                break;
            }
            if let Some(group) = braces(tokens, at + 2) {
                for entry in entries(group) {
                    self.path(&entry, 0, &path, module);
                }
                return at + 3;
            }
            if matches!(tokens.get(at + 2), Some(TokenTree::Punct(mark)) if mark.as_char() == '*') {
                path.push(String::from("*"));
            }
            at += 2;
        }
        if !path.is_empty() {
            self.named.push(Named {
                path: resolved(path, module),
                line,
            });
        }
        at
    }

    /// Skips the item after `#[cfg(test)]`, to its body or its semicolon.
    fn past_test_item(&mut self, tokens: &[TokenTree], mut at: usize, module: &[String]) -> usize {
        let start = at;
        while at < tokens.len() {
            let ends = match &tokens[at] {
                TokenTree::Group(group) => {
                    group.delimiter() == Delimiter::Brace && !is_use(tokens, start, at)
                }
                TokenTree::Punct(mark) => mark.as_char() == ';',
                _ => false,
            };
            at += 1;
            if ends {
                break;
            }
        }
        if let (Some(TokenTree::Punct(_)), Some(name)) = (tokens.get(at - 1), module_name(&tokens[start..at]))
        {
            self.test_modules
                .push(module.iter().cloned().chain([name]).collect());
        }
        at
    }
}

fn is_use(tokens: &[TokenTree], start: usize, end: usize) -> bool {
    (start..end).any(|at| ident(tokens, at).as_deref() == Some("use"))
}

fn module_name(item: &[TokenTree]) -> Option<String> {
    (0..item.len())
        .find(|&at| ident(item, at).as_deref() == Some("mod"))
        .and_then(|at| ident(item, at + 1))
}

/// `self::a` and `super::a` as seen from the crate's top.
fn resolved(path: Vec<String>, module: &[String]) -> Vec<String> {
    let ups = path.iter().take_while(|part| *part == "super").count();
    let (skip, depth) = match path[0].as_str() {
        "self" => (1, module.len()),
        "super" => (ups, module.len().saturating_sub(ups)),
        _ => return path,
    };
    std::iter::once(String::from("crate"))
        .chain(module[..depth].iter().cloned())
        .chain(path[skip..].iter().cloned())
        .collect()
}

/// The comma-separated parts of an import group.
fn entries(group: TokenStream) -> Vec<Vec<TokenTree>> {
    let tokens: Vec<TokenTree> = group.into_iter().collect();
    tokens
        .split(|token| matches!(token, TokenTree::Punct(mark) if mark.as_char() == ','))
        .filter(|entry| !entry.is_empty())
        .map(<[TokenTree]>::to_vec)
        .collect()
}

fn ident(tokens: &[TokenTree], at: usize) -> Option<String> {
    match tokens.get(at)? {
        TokenTree::Ident(ident) => Some(ident.to_string()),
        _ => None,
    }
}

fn braces(tokens: &[TokenTree], at: usize) -> Option<TokenStream> {
    match tokens.get(at)? {
        TokenTree::Group(group) if group.delimiter() == Delimiter::Brace => Some(group.stream()),
        _ => None,
    }
}

fn is_colons(tokens: &[TokenTree], at: usize) -> bool {
    let colon = |at: usize| matches!(tokens.get(at), Some(TokenTree::Punct(mark)) if mark.as_char() == ':');
    colon(at) && colon(at.wrapping_add(1))
}

/// Whether `#[cfg(test)]`, alone or with further conditions, stands here.
fn is_cfg_test(tokens: &[TokenTree]) -> bool {
    let (Some(TokenTree::Punct(hash)), Some(TokenTree::Group(attribute))) = (tokens.first(), tokens.get(1))
    else {
        return false;
    };
    let condition = attribute.stream().to_string().replace(' ', "");
    hash.as_char() == '#' && (condition == "cfg(test)" || condition.starts_with("cfg(all(test,"))
}
