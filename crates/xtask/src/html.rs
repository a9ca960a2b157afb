//! The page as one HTML file: everything inlined, every connection refused.
//!
//! Pages opened from disk may not fetch, import or start module workers. So the file carries
//! the ground's colours, one small inline script, and packed blocks that no browser runs: `unpacker`
//! (the script that unpacks the others), `carried` (JSON: all other styles, the page's own script, the
//! worker's, and the jobs that come with the page) and `core` (the WebAssembly module). The policy
//! lets the one inline script run, named by its hash; the others are started from Blob addresses.

use std::collections::BTreeMap;

use base64::Engine;
use base64::engine::general_purpose::STANDARD;
use sha2::{Digest, Sha256};

use crate::by_kind::sorted;
use crate::core_module::Finish;
use crate::fault::{Fault, Outcome};
use crate::packing::{pack, pack_xz};

/// What goes into the file.
#[derive(Debug, Default)]
pub(crate) struct Ingredients {
    /// The script that starts the page's, bundled to a classic one.
    pub(crate) starter: String,
    /// The script that unpacks all others, likewise.
    pub(crate) unpacker: String,
    /// The page's script, likewise.
    pub(crate) script: String,
    /// The worker's script, likewise.
    pub(crate) worker: String,
    /// The styles of an empty page, shown before anything is unpacked.
    pub(crate) ground: String,
    /// All other styles.
    pub(crate) style: String,
    /// Job files by name.
    pub(crate) fixtures: BTreeMap<String, String>,
    /// The WebAssembly module.
    pub(crate) wasm: Vec<u8>,
    /// How it is packed.
    pub(crate) finish: Finish,
}

/// Puts the ingredients into the shell, `web/index.html`, at its `<!-- heartside:... -->` marks.
///
/// The same ingredients give the same bytes.
///
/// # Errors
/// A mark that is missing or repeated, or text that would end its element early.
pub(crate) fn assemble(shell: &str, ingredients: &Ingredients) -> Outcome<String> {
    let starter = embeddable(
        "the starting script",
        &ingredients.starter,
        &["</script", "<script", "<!--"],
    )?;
    let ground = embeddable(
        "the ground's styles",
        &ingredients.ground,
        &["</style", "<!--"],
    )?;
    let carried = serde_json::json!({
        "style": ingredients.style,
        "script": ingredients.script,
        "worker": ingredients.worker,
        "fixtures": ingredients.fixtures,
    });
    let blocks = [
        (
            "unpacker",
            pack(ingredients.unpacker.as_bytes(), ingredients.finish)?,
        ),
        (
            "carried",
            pack_xz(carried.to_string().as_bytes(), ingredients.finish)?,
        ),
        (
            "core",
            pack_xz(&sorted(&ingredients.wasm)?, ingredients.finish)?,
        ),
    ];
    let blocks = blocks
        .map(|(id, packed)| format!("<script type=\"text/plain\" id=\"{id}\">{packed}</script>"));

    let pieces = [
        (
            "policy",
            format!(
                "<meta http-equiv=\"Content-Security-Policy\" content=\"{}\">",
                policy(starter)
            ),
        ),
        ("style", format!("<style>{ground}</style>")),
        ("packed", blocks.join("\n")),
        ("script", format!("<script>{starter}</script>")),
    ];
    let mut rest = shell;
    let mut page = String::new();
    // Cut the shell at its marks rather than replace in the growing text, where an ingredient
    // might hold a mark.
    for (name, piece) in &pieces {
        let mark = format!("<!-- heartside:{name} -->");
        let (before, after) = rest.split_once(&mark).ok_or_else(|| {
            Fault::new(format!("web/index.html has no `{mark}`, or not in this order: policy, style, packed, script"))
        })?;
        if after.contains(&mark) {
            return Err(Fault::new(format!("web/index.html has `{mark}` twice")));
        }
        page.push_str(before);
        page.push_str(piece);
        rest = after;
    }
    page.push_str(rest);
    Ok(page)
}

/// The content security policy: this one script, wasm, workers from Blobs; no connection at all.
///
/// Its word for peer connections, `webrtc 'block'`, is left out: browsers do not know it yet and
/// complain in their consoles. The starting script takes the means away instead.
fn policy(script: &str) -> String {
    let hash = STANDARD.encode(Sha256::digest(script.as_bytes()));
    [
        "default-src 'none'",
        &format!("script-src 'sha256-{hash}' 'wasm-unsafe-eval' blob:"),
        "worker-src blob:",
        "style-src 'unsafe-inline'",
        "img-src data: blob:",
        "connect-src 'none'",
        "base-uri 'none'",
        "form-action 'none'",
    ]
    .join("; ")
}

fn embeddable<'text>(what: &str, text: &'text str, forbidden: &[&str]) -> Outcome<&'text str> {
    let lower = text.to_ascii_lowercase();
    match forbidden.iter().find(|tag| lower.contains(**tag)) {
        Some(tag) => Err(Fault::new(format!(
            "{what} holds `{tag}`, which would end or change its place in the page"
        ))
        .mended_by("write it in two pieces in the source, such as \"<\" + \"/script\"")),
        // Browsers read carriage returns as line ends before hashing, so the hash would differ.
        None if text.contains('\r') => Err(Fault::new(format!("{what} holds a carriage return"))
            .mended_by("save the source with plain line ends")),
        None => Ok(text),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::packing::{unpack, unpack_xz};

    const SHELL: &str = "<head><!-- heartside:policy --><!-- heartside:style --></head>\
                         <body><!-- heartside:packed --><!-- heartside:script --></body>";

    fn between<'text>(text: &'text str, start: &str, end: &str) -> &'text str {
        let from = text.find(start).unwrap() + start.len();
        let to = from + text[from..].find(end).unwrap();
        &text[from..to]
    }

    fn sample() -> Ingredients {
        Ingredients {
            starter: "console.log('a < b')".to_owned(),
            unpacker: "'</script><!--'".to_owned(),
            script: "'</script>' + '<!--'".to_owned(),
            worker: "self.onmessage = () => '</script><!-- heartside:script -->'".to_owned(),
            ground: "body > p { margin: 0 }".to_owned(),
            style: "</style>".to_owned(),
            fixtures: BTreeMap::from([(
                "odd.heartside.json".to_owned(),
                "{\"title\":\"</SCRIPT><b>\"}".to_owned(),
            )]),
            wasm: vec![0, 0x61, 0x73, 0x6d, 1, 0, 0, 0],
            finish: Finish::Small,
        }
    }

    #[test]
    fn the_policy_names_the_hash_of_exactly_the_inline_script() {
        let page = assemble(SHELL, &sample()).unwrap();
        let script = between(&page, "<script>", "</script>");
        let hash = STANDARD.encode(Sha256::digest(script.as_bytes()));
        assert!(
            page.contains(&format!(
                "script-src 'sha256-{hash}' 'wasm-unsafe-eval' blob:"
            )),
            "{page}"
        );
        assert!(page.contains("default-src 'none'") && page.contains("connect-src 'none'"));
        let other = assemble(
            SHELL,
            &Ingredients {
                starter: "other()".to_owned(),
                ..sample()
            },
        )
        .unwrap();
        assert!(!other.contains(&hash));
    }

    #[test]
    fn nothing_inlined_can_end_its_element() {
        let page = assemble(SHELL, &sample()).unwrap();
        assert_eq!(page.matches("</script>").count(), 4, "{page}");
        assert_eq!(page.matches("<script").count(), 4, "{page}");
        assert!(
            !page.contains("</SCRIPT>") && !page.contains("<b>") && !page.contains("<!--"),
            "{page}"
        );
    }

    #[test]
    fn what_is_built_in_comes_out_as_it_went_in() {
        let page = assemble(SHELL, &sample()).unwrap();
        let block = |id: &str| between(&page, &format!("id=\"{id}\">"), "</script>");
        let read: serde_json::Value = serde_json::from_slice(&unpack_xz(block("carried"))).unwrap();
        assert_eq!(read["worker"], sample().worker);
        assert_eq!(read["script"], sample().script);
        assert_eq!(read["style"], sample().style);
        assert_eq!(
            read["fixtures"]["odd.heartside.json"],
            sample().fixtures["odd.heartside.json"]
        );
        assert_eq!(unpack_xz(block("core")), sorted(&sample().wasm).unwrap());
        assert_eq!(unpack(block("unpacker")), sample().unpacker.as_bytes());
    }

    #[test]
    fn a_script_that_would_end_early_is_refused() {
        for script in ["x = '</Script>'", "x = '<!-- '", "x = '<script'", "a\r\nb"] {
            let broken = Ingredients {
                starter: script.to_owned(),
                ..sample()
            };
            assert!(assemble(SHELL, &broken).is_err(), "{script}");
        }
        let broken = Ingredients {
            ground: "</STYLE>".to_owned(),
            ..sample()
        };
        assert!(assemble(SHELL, &broken).is_err());
    }

    #[test]
    fn a_shell_without_a_mark_is_refused_by_name() {
        let shell = SHELL.replace("<!-- heartside:style -->", "");
        let fault = assemble(&shell, &sample()).unwrap_err().to_string();
        assert!(fault.contains("<!-- heartside:style -->"), "{fault}");
        let shell = SHELL.replace("</body>", "<!-- heartside:script --></body>");
        assert!(
            assemble(&shell, &sample())
                .unwrap_err()
                .to_string()
                .contains("twice")
        );
    }

    #[test]
    fn the_same_ingredients_give_the_same_bytes() {
        assert_eq!(assemble(SHELL, &sample()), assemble(SHELL, &sample()));
    }
}
