//! What comes from beside the brief: changes, inventories, stock lists, files.

use super::*;
use crate::job::files;

#[test]
fn changes_reach_every_key() {
    let read = |changes: &[(String, String)]| source(SAMPLE).read(changes);
    let job = read(&[
        change("box.interior", "[\"400 mm\", 300, 120]"),
        change("stock.thickness", "4 mm"),
        change("part.weather cards.stack.count", "60"),
        change("part.ticket stubs.loose.volume", "20 ml"),
        change("part.rope.loose.volume", "3 ml"),
        change("tray.decks.use", "seldom"),
        change("kept.crew cartons.count", "1"),
        change("search.grid", "0.5 mm"),
        change("title", "Second crossing"),
    ])
    .unwrap_or_else(|f| panic!("{f:#?}"));
    assert_eq!((job.container.interior.w, job.stock.thickness), (Length::mm(400), Length::mm(4)));
    let Contents::Stack(cards) = &job.trays[1].parts[0].contents else { panic!() };
    assert_eq!((cards.count, job.trays[1].usage), (Some(60), Use::Seldom));
    assert_eq!((job.kept[0].count, job.grid, job.title.as_str()), (1, Length::um(500), "Second crossing"));
    let whole = read(&[change("stock", "greyboard-2")]).unwrap_or_else(|f| panic!("{f:#?}"));
    assert_eq!((whole.stock.name.as_str(), whole.stock.process), ("greyboard", Process::Knife));

    for (path, value, code) in [
        ("part.whale.loose.volume", "3 ml", "B030"),
        ("part.rope", "3 ml", "B030"),
        ("box..interior", "3", "B030"),
        ("box.interior.width.x", "3", "B030"),
        ("box.intrior", "[1, 2, 3]", "B007"),
        ("box.lid_room", "2,5", "B005"),
        ("stock.process", "lazer", "B010"),
    ] {
        let findings = read(&[change(path, value)]).unwrap_err();
        let hit = findings.iter().find(|f| f.code == code).unwrap_or_else(|| panic!("{path}: {findings:#?}"));
        assert_eq!(hit.place.file, format!("change of {path}"), "{hit}");
    }
}

#[test]
fn digests_tell_inputs_apart() {
    // The digest of a brief alone is that of its bytes: the empty text has the well-known one.
    let text = format!("{BOX}{SACKS}");
    let alone = toml(&text).unwrap().digest;
    assert_eq!(alone.len(), 64);
    use sha2::Digest;
    let bytes: String = sha2::Sha256::digest(text.as_bytes()).iter().map(|b| format!("{b:02x}")).collect();
    assert_eq!(alone, bytes);
    let with =
        |changes: &[(String, String)]| read(&text, "b.toml", Format::Toml, None, changes).unwrap().digest;
    let a = with(&[change("box.lid_room", "1")]);
    let b = with(&[change("box.lid_room", "2")]);
    assert!(a != alone && a != b);
    assert_eq!(a, with(&[change("box.lid_room", "1")]));
}

#[test]
fn inventories_make_trays_and_free_parts() {
    let brief = format!("inventory = \"i.csv\"\n{BOX}");
    let read = |csv: &str| read(&brief, "b.toml", Format::Toml, Some(("i.csv", csv)), &[]);
    assert_eq!(codes(read("\u{feff}name;tray;use;stack.face.width;mass\n")), ["J021"]);
    let job = read("name;tray;use;stack.face.width;stack.face.depth;stack.height;stack.stand;stack.sleeve.film;stack.sleeve.face\r\n\"cards; old\";decks;always;63,5;88,9;1,65 cm;flat + lean;0,1;66 x 91\r\n7;;seldom;40;40;12;;;\r\n\r\n# a remark\r\n").unwrap_or_else(|f| panic!("{f:#?}"));
    let Contents::Stack(cards) = &job.trays[0].parts[0].contents else { panic!() };
    assert_eq!(job.trays[0].usage, Use::Always);
    assert_eq!(job.trays[0].parts[0].name, "cards; old");
    assert_eq!(cards.face, Face::Rectangle(Length::um(63_500), Length::um(88_900)));
    assert_eq!((cards.height, &cards.stand[..]), (Some(Length::um(16_500)), &[Stand::Flat, Stand::Lean][..]));
    assert_eq!(cards.sleeve.unwrap().film, Length::um(100));
    assert_eq!((job.free[0].part.name.as_str(), job.free[0].usage), ("7", Use::Seldom));

    // Positions are those of the cells; with commas between cells a decimal comma is refused.
    let findings = read("name,loose.volume,loose.level\nrope,\"2,5 ml\",0.9\nsacks,40 ml,9\n").unwrap_err();
    let found: Vec<_> =
        findings.iter().map(|f| (f.code, f.place.file.as_str(), f.place.line_column.unwrap())).collect();
    assert_eq!(found, [("B005", "i.csv", (2, 6)), ("B013", "i.csv", (3, 13))], "{findings:#?}");
    assert_eq!(findings[1].place.path, "part \"sacks\" › loose.level");
}

#[test]
fn stock_lists_are_read_from_both_kinds_of_file() {
    let csv = "id;name;thickness;thickness_spread;density;process;joint;fit;cut_width;grain;sheets;floor;divider\n\
        birch-3;birch plywood;3,1;0,4;;laser;finger;easy;0,2;yes;600 x 300 x 4,50 | 1220 x 2440;grey-2;2 mm\n\
        grey-2;greyboard;2;;;;;;;;;;\n";
    let rows = stock::read_list("s.csv", csv).unwrap_or_else(|f| panic!("{f:#?}"));
    assert_eq!(rows.len(), 2);
    let birch = &rows[0];
    assert_eq!((birch.stock.thickness, birch.stock.spread), (Length::um(3_100), Some(Length::um(400))));
    assert_eq!((birch.floor.id.as_str(), birch.divider.thickness), ("grey-2", Length::mm(2)));
    assert!(birch.stock.grain);
    assert_eq!(birch.stock.fit, Fits::all(Length::um(150)));
    assert!(!birch.stock.sheets_assumed && rows[1].stock.sheets_assumed);
    assert_eq!(rows[1].stock.sheets[0].size.w, Length::mm(500));
    assert_eq!(birch.stock.sheets.len(), 2);
    assert_eq!(birch.stock.sheets[0].price_hundredths, Some(450));
    assert_eq!(birch.stock.sheets[1].size.d, Length::mm(2440));
    assert_eq!(rows[1].stock.process, Process::Knife);

    let toml = "[[stock]]\nid = \"birch-3\"\nname = \"birch plywood\"\nthickness = \"1/8 in\"\nsheets = [[\"24 in\", \"12 in\", 5.25]]\n";
    let rows = stock::read_list("s.toml", toml).unwrap_or_else(|f| panic!("{f:#?}"));
    assert_eq!(rows[0].stock.sheets[0].size.w, Length::um(609_600));

    let wrong = "id;name;thickness;floor\na;birch;3;nothing\na;birch;4;\n;birch;4;\n";
    let found: Vec<_> = stock::read_list("s.csv", wrong).unwrap_err().iter().map(|f| f.code).collect();
    assert_eq!(found, ["S003", "S005", "B008"]);
    assert_eq!(stock::read_list("s.toml", "stock = []\n").unwrap_err()[0].code, "S006");
}

#[test]
fn files_are_found_beside_the_brief() {
    let dir = std::env::temp_dir().join(format!("traywright-job-{}", std::process::id()));
    std::fs::create_dir_all(&dir).unwrap();
    let write = |name: &str, text: &str| std::fs::write(dir.join(name), text).unwrap();
    write(
        "b.toml",
        "inventory = \"i.csv\"\nstock_list = \"s.csv\"\nbox.interior = [310, 240, 70]\nstock = \"birch-3\"\n",
    );
    write("i.csv", starter(Starter::Spreadsheet));
    write("j.csv", "name;loose.volume\nrope;2 ml\n");
    write("s.csv", "id;name;thickness\nbirch-3;birch plywood;3\n");
    let brief = dir.join("b.toml");
    assert_eq!(load(&brief, &[]).unwrap_or_else(|f| panic!("{f:#?}")).trays.len(), 2);
    assert_eq!(load(&brief, &[change("inventory", "j.csv")]).unwrap().free.len(), 1);
    let missing = load(&brief, &[change("inventory", "k.csv")]).unwrap_err();
    assert_eq!(missing[0].code, "B001");
    std::fs::write(dir.join("x.toml"), [b'a', 0xff, b'b']).unwrap();
    assert_eq!(load(&dir.join("x.toml"), &[]).unwrap_err()[0].code, "B003");
    std::fs::write(dir.join("big.toml"), vec![b'#'; files::MOST_BYTES as usize + 1]).unwrap();
    assert_eq!(load(&dir.join("big.toml"), &[]).unwrap_err()[0].code, "B002");
    assert_eq!(load(&dir, &[]).unwrap_err()[0].code, "B001");
    assert_eq!(stock::load_list(&dir.join("s.csv")).unwrap().len(), 1);
    std::fs::remove_dir_all(&dir).unwrap();
}
