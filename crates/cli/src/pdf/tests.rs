//! What a file holds, by its plain parts; what it looks like and reads as is tested by other libraries.

use image::{ImageFormat, Rgba, RgbaImage};

use super::pdf;
use crate::photos::{Photos, encoded, hash_of};

fn drawing(content: &str) -> String {
    format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"100mm\" height=\"50mm\" viewBox=\"0 0 100 50\">{content}</svg>"
    )
}

fn shown(hash: &str) -> String {
    format!(
        "<image href=\"photo:{hash}\" x=\"1\" y=\"1\" width=\"20\" height=\"10\" preserveAspectRatio=\"none\"/>"
    )
}

fn count(bytes: &[u8], what: &str) -> usize {
    let windows = bytes.windows(what.len());
    windows.filter(|window| *window == what.as_bytes()).count()
}

#[test]
fn a_photograph_is_there_once_and_as_it_was_taken() {
    let jpeg = encoded(&[200; 4 * 6], [3, 2]).expect("encoded");
    let mut png = std::io::Cursor::new(Vec::new());
    let clear = RgbaImage::from_pixel(2, 2, Rgba([10, 20, 30, 128]));
    clear.write_to(&mut png, ImageFormat::Png).expect("encoded");
    let png = png.into_inner();
    let (first, second) = (hash_of(&jpeg), hash_of(&png));
    let mut photos = Photos::default();
    photos.add(jpeg.clone());
    photos.add(png);
    photos.add(b"no picture".to_vec());
    let broken = hash_of(b"no picture");
    let page = drawing(
        &[&first, &first, &second, &broken, "none"]
            .map(shown)
            .concat(),
    );
    let file = pdf([page.as_str(), page.as_str()], "", &photos).expect("written");
    assert_eq!(count(&file, "/DCTDecode"), 1);
    assert!(file.windows(jpeg.len()).any(|window| window == jpeg));
    // The other one and what covers in it.
    assert_eq!(count(&file, "/Subtype /Image"), 3);
    assert_eq!(count(&file, "/SMask"), 1);
    assert_eq!(count(&file, "/Type /Page\n"), 2);
}

#[test]
fn letters_of_every_script_are_written_and_faces_are_cut_down() {
    let letters = (0x20..0x3_0000).step_by(61).filter_map(char::from_u32);
    let letters: Vec<char> = letters.filter(|c| !c.is_control()).collect();
    let lines = letters.chunks(40).map(|line| {
        let line: String = line.iter().filter(|c| !"<&>".contains(**c)).collect();
        format!("<text x=\"1\" y=\"9\" font-size=\"3\" font-family=\"serif\">{line}</text>")
    });
    let all = drawing(&lines.collect::<String>());
    let all = pdf([all.as_str()], "", &Photos::default()).expect("written");
    assert!(count(&all, "/FontFile2") >= 2);
    let few = drawing("<text x=\"1\" y=\"9\" font-size=\"3\" font-family=\"serif\">Leg</text>");
    let few = pdf([few.as_str()], "Desk", &Photos::default()).expect("written");
    assert_eq!(count(&few, "/FontFile2"), 1);
    assert!(few.len() < 8000, "{}", few.len());
    assert!(pdf(["<svg"], "", &Photos::default()).is_err());
}
