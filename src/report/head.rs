//! The head of a page, and the hashes by which its policy names what may run.

use base64::Engine;
use base64::engine::general_purpose::STANDARD;
use maud::{Markup, PreEscaped, html};
use sha2::{Digest, Sha256};

/// The head of a document that loads nothing, in the colours of `scheme`.
pub(super) fn head(title: &str, style: &str, policy: &str, scheme: &str) -> Markup {
    html! {
        head {
            meta charset="utf-8";
            meta http-equiv="Content-Security-Policy" content=(policy);
            meta name="viewport" content="width=device-width, initial-scale=1";
            meta name="referrer" content="no-referrer";
            meta name="color-scheme" content=(scheme);
            title { (title) }
            style { (PreEscaped(style)) }
        }
    }
}

/// The name of an inline style or script in the policy.
pub(super) fn source(text: &str) -> String {
    format!("sha256-{}", STANDARD.encode(Sha256::digest(text)))
}
