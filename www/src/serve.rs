//! A server for this machine alone, as strict as the strictest site the element must run on.
//!
//! In: a folder. Out: its files over HTTP on the loopback address, with the content policy, the right types, and the
//! compressed form where one lies beside a file. Not meant for the public.

use crate::places::Places;
use anyhow::Context;
use axum::Router;
use axum::http::HeaderName;
use axum::http::header::{
    CACHE_CONTROL, CONTENT_SECURITY_POLICY, HeaderValue, REFERRER_POLICY, X_CONTENT_TYPE_OPTIONS,
};
use std::net::{Ipv4Addr, SocketAddr};
use std::path::Path;
use tokio::net::TcpListener;
use tower_http::services::ServeDir;
use tower_http::set_header::SetResponseHeaderLayer;

/// The policy the element promises to run under; sent with every file, since a worker obeys its own file's policy.
const POLICY: &str = "default-src 'none'; script-src 'self' 'wasm-unsafe-eval'; worker-src 'self'; \
     connect-src 'self'; img-src 'self'; style-src 'self'; base-uri 'none'; form-action 'none'; \
     require-trusted-types-for 'script'; trusted-types hostwood";

/// Serves `www/dist` until the program is stopped, with other folders under the paths named, and prints the address
/// once it can be opened.
pub(crate) fn until_stopped(
    places: &Places,
    port: u16,
    others: &[(&str, &Path, Policy)],
) -> anyhow::Result<()> {
    let runtime = tokio::runtime::Builder::new_current_thread()
        .enable_all()
        .build()?;
    runtime.block_on(async {
        let (listener, address) = listen(port).await?;
        println!("http://{address}/");
        for (path, ..) in others {
            println!("http://{address}{path}/");
        }
        axum::serve(listener, with_others(&places.dist, others))
            .await
            .context("the server stopped")
    })
}

/// Whether the files of a folder come under the strict policy.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) enum Policy {
    /// As all of the site.
    Strict,
    /// As pages of other libraries need it.
    None,
}

/// Serves a folder, with others under the paths named, for as long as the program runs; gives back the address.
pub(crate) fn in_background(folder: &Path, others: &[(&str, &Path, Policy)]) -> anyhow::Result<String> {
    let runtime = tokio::runtime::Builder::new_current_thread()
        .enable_all()
        .build()?;
    let (listener, address) = runtime.block_on(listen(0))?;
    let pages = with_others(folder, others);
    std::thread::spawn(move || {
        if let Err(trouble) = runtime.block_on(async { axum::serve(listener, pages).await }) {
            eprintln!("error: the server stopped: {trouble}");
        }
    });
    Ok(format!("http://{address}/"))
}

/// A listener on the loopback address; port 0 takes any free one.
pub(crate) async fn listen(port: u16) -> anyhow::Result<(TcpListener, SocketAddr)> {
    let wanted = SocketAddr::from((Ipv4Addr::LOCALHOST, port));
    let listener = TcpListener::bind(wanted).await.with_context(|| {
        format!("could not listen on {wanted}; if another program uses that port, give another with `--port`")
    })?;
    let address = listener.local_addr()?;
    Ok((listener, address))
}

/// The files of a folder under the strict headers, and those of other folders under the paths named.
fn with_others(folder: &Path, others: &[(&str, &Path, Policy)]) -> Router {
    others.iter().fold(site(folder), |pages, (path, folder, policy)| {
        let others = Router::new().nest_service(path, files(folder));
        pages.merge(match policy {
            Policy::Strict => under_headers(others),
            Policy::None => others,
        })
    })
}

/// The files of a folder under the strict headers.
pub(crate) fn site(folder: &Path) -> Router {
    under_headers(Router::new().fallback_service(files(folder)))
}

fn files(folder: &Path) -> ServeDir {
    ServeDir::new(folder).precompressed_br().precompressed_gzip()
}

fn under_headers(router: Router) -> Router {
    let headers = [
        (CONTENT_SECURITY_POLICY, POLICY),
        (X_CONTENT_TYPE_OPTIONS, "nosniff"),
        (REFERRER_POLICY, "no-referrer"),
        (CACHE_CONTROL, "no-cache"),
        (
            HeaderName::from_static("permissions-policy"),
            "geolocation=(self)",
        ),
    ];
    headers.into_iter().fold(router, |router, (name, value)| {
        router.layer(SetResponseHeaderLayer::overriding(
            name,
            HeaderValue::from_static(value),
        ))
    })
}

#[cfg(test)]
mod tests {
    use super::{POLICY, listen, site};
    use std::fs;
    use std::path::PathBuf;
    use tokio::io::{AsyncReadExt, AsyncWriteExt};
    use tokio::net::TcpStream;

    /// A folder `site` with files in it, and a file beside it that must never be served.
    fn folder(name: &str) -> PathBuf {
        let top = std::env::temp_dir().join(format!("hostwood-www-{name}-{}", std::process::id()));
        let site = top.join("site");
        fs::create_dir_all(site.join("maps")).expect("a folder for the test");
        let files: [(&str, &[u8]); 5] = [
            ("site/index.html", b"<!doctype html>"),
            ("site/engine.wasm", b"\0asm"),
            ("site/engine.wasm.br", b"compressed"),
            ("site/maps/stands.geojson", b"{}"),
            ("private.txt", b"private"),
        ];
        for (path, bytes) in files {
            fs::write(top.join(path), bytes).expect("a file for the test");
        }
        site
    }

    /// Head in lower case, and body, of the reply to a request whose path is sent exactly as written.
    fn ask(folder: PathBuf, path: &str, accept: &str) -> (String, String) {
        let runtime = tokio::runtime::Builder::new_current_thread()
            .enable_all()
            .build()
            .expect("a runtime");
        runtime.block_on(async {
            let (listener, address) = listen(0).await.expect("a free port");
            assert!(address.ip().is_loopback(), "served beyond this machine: {address}");
            let server = tokio::spawn(async move { axum::serve(listener, site(&folder)).await });
            let mut stream = TcpStream::connect(address).await.expect("a connection");
            let request =
                format!("GET {path} HTTP/1.1\r\nhost: {address}\r\naccept-encoding: {accept}\r\nconnection: close\r\n\r\n");
            stream.write_all(request.as_bytes()).await.expect("the request");
            let mut reply = Vec::new();
            stream.read_to_end(&mut reply).await.expect("the reply");
            server.abort();
            let reply = String::from_utf8_lossy(&reply).into_owned();
            let (head, body) = reply.split_once("\r\n\r\n").expect("a head and a body");
            (head.to_lowercase(), body.to_owned())
        })
    }

    /// RFC 7946 section 12 registers `application/geo+json`; the WebAssembly Web API asks for `application/wasm`.
    #[test]
    fn files_come_with_their_registered_type_and_the_policy() {
        let site = folder("types");
        let types = [
            ("/", "text/html"),
            ("/engine.wasm", "application/wasm"),
            ("/maps/stands.geojson", "application/geo+json"),
        ];
        for (path, expected) in types {
            let (head, _) = ask(site.clone(), path, "identity");
            assert!(head.starts_with("http/1.1 200"), "{path}: {head}");
            assert!(
                head.contains(&format!("content-type: {expected}\r\n")),
                "{path}: {head}"
            );
            assert!(
                head.contains(&format!("content-security-policy: {POLICY}\r\n")),
                "{path}: {head}"
            );
            assert!(head.contains("x-content-type-options: nosniff"), "{path}: {head}");
        }
    }

    #[test]
    fn the_compressed_form_goes_only_to_those_who_read_it() {
        let site = folder("compressed");
        let (head, body) = ask(site.clone(), "/engine.wasm", "br");
        assert!(
            head.contains("content-encoding: br") && head.contains("content-type: application/wasm"),
            "{head}"
        );
        assert_eq!(body, "compressed");
        let (head, body) = ask(site, "/engine.wasm", "identity");
        assert!(!head.contains("content-encoding"), "{head}");
        assert_eq!(body, "\0asm");
    }

    #[test]
    fn nothing_outside_the_folder_is_served() {
        let site = folder("outside");
        for path in [
            "/../private.txt",
            "/%2e%2e/private.txt",
            "/..%2fprivate.txt",
            "/maps/../../private.txt",
            "/..%5cprivate.txt",
        ] {
            let (head, body) = ask(site.clone(), path, "identity");
            assert!(!head.starts_with("http/1.1 200"), "{path}: {head}");
            assert!(!body.contains("private"), "{path}: {body}");
        }
    }
}
