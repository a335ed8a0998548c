//! The command `sketch`: what it says, refuses and writes.

use std::path::Path;

use cutleaf::sketch::Sketch;

/// What the program says when it is called so in a folder.
fn called(folder: &Path, arguments: &[&str]) -> (i32, String, String) {
    let mut command = assert_cmd::Command::cargo_bin("cutleaf").unwrap();
    let output = command.current_dir(folder).args(arguments).output().unwrap();
    let text = |bytes: &[u8]| String::from_utf8_lossy(bytes).into_owned();
    (output.status.code().unwrap(), text(&output.stdout), text(&output.stderr))
}

#[test]
fn what_cannot_be_placed_is_told_with_what_to_do() {
    let folder = tempfile::tempdir().unwrap();
    let here = folder.path();
    std::fs::create_dir(here.join("empty")).unwrap();
    std::fs::create_dir(here.join("own")).unwrap();
    let contradicting = "name: Too wide\nsingle:\n  columns:\n    - {id: one, share: 2/3 page, photos: {takes: 1}}\n    - {id: other, share: 1/2 page}\n";
    std::fs::write(here.join("own/wide.yaml"), contradicting).unwrap();
    let fifteen = ["3x4"; 15].join(",");
    let cases: [(&[&str], &[&str]); 9] = [
        (&["", "--json"], &["no photo is named", "write their sizes"]),
        (&["4x6, x5"], &["`x5` is not the size of a photo", "such as 4x6"]),
        (&["4x6 facing lft"], &["people face left or right", "did you mean `facing left`?"]),
        (&["14x16"], &["can take these photos", "too", "the page is 12 in"]),
        (&[&fifteen, "--only", "Three across"], &["takes 1 to 3 photos, and 15", "leave 12 out"]),
        (&["empty"], &["no picture in `empty`", "put JPEG"]),
        (&["missing/folder"], &["is no folder of pictures", "name a folder"]),
        (
            &["4x6", "--only", "Thre across"],
            &["no sketch `Thre across`", "did you mean `Three across`"],
        ),
        (
            &["4x6", "--sketches", "own", "--only", "too wide"],
            &["2 in too wide", "`one` is 8 in wide, 2/3", "`other` is 6 in wide, 1/2", "about"],
        ),
    ];
    for (arguments, told) in cases {
        let (code, _, errors) = called(here, &[&["sketch"], arguments].concat());
        assert_eq!(code, 1, "{arguments:?}: {errors}");
        for part in told {
            assert!(errors.contains(part), "{arguments:?}: `{part}` in {errors}");
        }
    }
    assert!(!here.join("sketches.html").exists());
}

#[test]
fn slips_of_a_sketch_are_told_where_they_are() {
    let page = "single: {photos: {takes: 1}}\n";
    let cases = [
        ("name: A\n".to_owned(), "has no page"),
        ("name: A\nsingle: {}\n".to_owned(), "no place for a photo"),
        (format!("name: A\nmargin: 1/3\n{page}"), "lies on no mark of 1/16 in"),
        ("name: A\nsingle: {photos: {takes: 3-1}}\n".to_owned(), "is not a number of photos"),
        (
            "name: A\nsingle: {photos: {takes: 1}, holds: title}\n".to_owned(),
            "holds several things",
        ),
        (format!("name: A\n{page}keep: [[room.tip, room.top]]\n"), "is no edge of a room"),
        (format!("name: A\n{page}strips: [{{paper: accent, width: 1}}]\n"), "no place, or two"),
        (format!("name: A\n{page}strips: [{{paper: accent, width: 0, top: 6}}]\n"), "has no width"),
        ("name: A\nsingle: {photos: {takes: 1, mat: frame}}\n".to_owned(), "`frame` is not a part"),
        ("name: A\nsingle: {photoes: {takes: 1}}\n".to_owned(), "unknown key `photoes`"),
        (
            "name: A\nsingle: {photos: {takes: 1, weight: -2}}\n".to_owned(),
            "weight is out of reach",
        ),
    ];
    for (text, told) in cases {
        let problems = Sketch::read(&text).unwrap_err();
        assert!(problems.to_string().contains(told), "{text}: {problems}");
        assert!(problems.0.iter().all(|problem| problem.place.is_some()), "{text}: {problems}");
    }
}

#[test]
fn what_is_taken_is_written_and_built() {
    let folder = tempfile::tempdir().unwrap();
    let here = folder.path();
    let list = "4x6, 3x3, 3x4 facing right";
    let (code, table, _) = called(here, &["sketch", list]);
    assert_eq!(code, 0);
    assert!(table.starts_with("  1  "), "{table}");
    assert!(std::fs::read_to_string(here.join("sketches.html")).unwrap().contains("--take 1"));
    let take = ["sketch", list, "--take", "1", "--name", "Pond", "--no-build"];
    let (code, _, errors) = called(here, &take);
    assert_eq!(code, 0, "{errors}");
    let written = std::fs::read_to_string(here.join("pond.yaml")).unwrap();
    assert!(written.contains("size: 3 x 4, facing: right"), "{written}");
    let (code, told, errors) = called(here, &["build", "pond.yaml", "--effort", "quick"]);
    assert_eq!(code, 0, "{errors}");
    assert!(!told.contains("Warning"), "{told}");
    assert!(here.join("out/pond/proof.html").exists());
    // The same is written again; a spec that she has changed is never written over.
    assert_eq!(called(here, &take).0, 0);
    std::fs::write(here.join("pond.yaml"), "name: Mine\nsingle: {}\n").unwrap();
    let (code, _, errors) = called(here, &take);
    assert!(code == 1 && errors.contains("stands there already"), "{errors}");
}

/// What is taken from sizes off the ruler and from papers of any name is read back as it was meant.
#[test]
fn sizes_and_names_of_any_kind_are_read_back() {
    let folder = tempfile::tempdir().unwrap();
    let here = folder.path();
    let paper = |name: &str, color: &str| {
        format!(
            "  - {{name: '{name}', color: \"{color}\", sheets: [{{size: 12 x 12, count: 9}}]}}\n"
        )
    };
    let stock = [
        paper("oat: pale", "#f3efe6"),
        paper("slate, heavy", "#33454f"),
        paper("moss #2", "#7c9a72"),
        paper("yes", "#c8553d"),
    ];
    std::fs::write(here.join("stock.yaml"), format!("papers:\n{}", stock.concat())).unwrap();
    let take = ["--take", "1", "--name", "Pond", "--no-build"];
    for (list, page, sizes) in [
        ("4 x 5.9, 3.3 x 5", "12 x 12", [[4.0, 5.9], [3.3, 5.0]]),
        ("3x4, 4x4", "300 mm x 12 in", [[3.0, 4.0], [4.0, 4.0]]),
    ] {
        let (code, _, errors) =
            called(here, &[&["sketch", list, "--page", page], &take[..]].concat());
        assert_eq!(code, 0, "{errors}");
        let (_, record, errors) = called(here, &["check", "pond.yaml", "--json"]);
        assert!(!errors.contains("error"), "{errors}");
        let record: serde_json::Value = serde_json::from_str(&record).unwrap();
        let photos = record["photos"].as_array().unwrap();
        let near = |photo: &serde_json::Value, size: [f64; 2]| {
            [0, 1]
                .iter()
                .all(|&axis| (photo["size"][axis].as_f64().unwrap() - size[axis]).abs() < 1e-6)
        };
        for size in sizes {
            assert!(photos.iter().any(|photo| near(photo, size)), "{size:?} among {photos:?}");
        }
        let written = std::fs::read_to_string(here.join("pond.yaml")).unwrap();
        assert!(written.contains("\"slate, heavy\""), "{written}");
        std::fs::remove_file(here.join("pond.yaml")).unwrap();
    }
    let folder = "null";
    std::fs::create_dir(here.join(folder)).unwrap();
    let picture = concat!(env!("CARGO_MANIFEST_DIR"), "/templates/kite-day/gull.jpg");
    for name in ["null", "2024", "true", "1e3", "~"] {
        std::fs::copy(picture, here.join(folder).join(name).with_added_extension("jpg")).unwrap();
    }
    let (code, _, errors) = called(here, &[&["sketch", folder], &take[..]].concat());
    assert_eq!(code, 0, "{errors}");
    let (_, _, errors) = called(here, &["check", "pond.yaml"]);
    assert!(!errors.contains("error"), "{errors}");
}

#[test]
fn a_stock_whose_papers_do_not_go_together_is_not_passed_over_in_silence() {
    let folder = tempfile::tempdir().unwrap();
    let here = folder.path();
    let paper = |name: &str, color: &str| {
        format!("  - {{name: {name}, color: \"{color}\", sheets: [{{size: 12 x 12, count: 4}}]}}\n")
    };
    let pale = [("chalk", "#f3efe6"), ("sand", "#e5d3ae"), ("mist", "#dfe6e8")];
    let pale: String = pale.iter().map(|(name, color)| paper(name, color)).collect();
    let told = "The stock's papers are not used: no mat stands out from the page: sand on chalk has a contrast of \
                1.3 to 1, and it takes 3. Instead, to be bought: linen, fern, ink, apricot.\n";
    let dark = paper("slate", "#33454f") + &paper("moss", "#7c9a72");
    let [list, take] =
        [&["sketch", "4x6"][..], &["sketch", "4x6", "--take", "1", "--name", "Pond", "--no-build"]];
    for (stock, wanted) in [(pale.clone(), true), (pale + &dark, false)] {
        std::fs::write(here.join("stock.yaml"), format!("papers:\n{stock}")).unwrap();
        for arguments in [list, take] {
            let (code, said, errors) = called(here, arguments);
            assert_eq!(code, 0, "{errors}");
            assert_eq!(said.matches(told).count(), usize::from(wanted), "{said}");
            assert_eq!(said.contains("not used"), wanted, "{said}");
        }
        std::fs::remove_file(here.join("pond.yaml")).unwrap();
        let (_, data, _) = called(here, &["sketch", "4x6", "--json"]);
        let data: serde_json::Value = serde_json::from_str(&data).unwrap();
        assert_eq!(data["not_from_stock"].is_string(), wanted, "{data}");
    }
}
