//! The page's own files, within the program.

/// A file of the page: its type and its text.
pub(super) fn asset(name: &str) -> Option<(&'static str, &'static str)> {
    let (kind, text) = match name {
        "index.html" => ("text/html; charset=utf-8", include_str!("assets/index.html")),
        "page.css" => ("text/css; charset=utf-8", include_str!("assets/page.css")),
        "page.js" => (SCRIPT, include_str!("assets/page.js")),
        "server.js" => (SCRIPT, include_str!("assets/server.js")),
        "table.js" => (SCRIPT, include_str!("assets/table.js")),
        "measures.js" => (SCRIPT, include_str!("assets/measures.js")),
        "snapping.js" => (SCRIPT, include_str!("assets/snapping.js")),
        "pulling.js" => (SCRIPT, include_str!("assets/pulling.js")),
        "renewed.js" => (SCRIPT, include_str!("assets/renewed.js")),
        "sides.js" => (SCRIPT, include_str!("assets/sides.js")),
        "forms.js" => (SCRIPT, include_str!("assets/forms.js")),
        _ => return None,
    };
    Some((kind, text))
}

const SCRIPT: &str = "text/javascript; charset=utf-8";
