//! `batch` and `join`.

use std::process::Stdio;

use serde_json::Value;

use crate::room::{Room, scenario, words};

/// Rows of a CSV text by their first cell; cells here hold neither quotes nor commas where it matters.
fn first_cells(csv: &str) -> Vec<&str> {
    csv.lines().skip(1).filter_map(|l| l.split(',').next()).collect()
}

/// All files of a folder but those that tell times.
fn files(room: &Room, dir: &str) -> Vec<(String, String)> {
    let names = room.names(dir).into_iter().filter(|n| n != "times.csv");
    names.map(|n| (n.clone(), room.read(&format!("{dir}/{n}")))).collect()
}

#[track_caller]
fn same(a: &[(String, String)], b: &[(String, String)]) {
    let names = |files: &[(String, String)]| files.iter().map(|(n, _)| n.clone()).collect::<Vec<_>>();
    assert_eq!(names(a), names(b));
    for (a, b) in a.iter().zip(b) {
        assert!(a == b, "{} differs:\n{}\n{}", a.0, a.1, b.1);
    }
}

/// A list of many small jobs over the easy scenario.
fn many(room: &Room, n: usize) {
    let tides = scenario("easy/tides.toml");
    let lines: String = (0..n)
        .map(|i| format!("job-{i},{},{},{},{}\n", tides.display(), 152 + i % 7, 106 + i % 11, 38 + i % 5))
        .collect();
    room.write("many.csv", &format!("id,brief,interior.width,interior.depth,interior.height\n{lines}"));
}

#[test]
fn a_batch_has_one_line_a_job_in_order_whatever_becomes_of_it() {
    let room = Room::new();
    room.run(words!["start", "mine.toml"]).ends(0);
    room.write("bad.toml", "title = 3\n");
    let jobs = format!(
        "id,brief,box,interior.width,interior.depth,interior.height,stock,set.title\n\
         mine,mine.toml,,,,,,\n\
         bad,bad.toml,,,,,,\n\
         none,none.toml,,,,,,\n\
         tides,{tides},,,,,birch-3,Tides in birch\n\
         small,{tides},,100,96,36,,\n\
         boxed,{tides},flat,,,,,\n\
         lost,{tides},no such box,,,,,\n",
        tides = scenario("easy/tides.toml").display()
    );
    room.write("jobs.csv", &jobs);
    let batch = |out: &str, threads: &str| {
        let stock = scenario("shop/stocks.toml");
        let boxes = scenario("shop/boxes.csv");
        room.run(words![
            "batch",
            "jobs.csv",
            "--out",
            out,
            "--stock",
            stock,
            "--boxes",
            boxes,
            "--threads",
            threads,
            "--nodes",
            "20000",
        ])
    };
    let run = batch("one", "1").ends(3);
    assert!(run.out.starts_with("7 jobs: 3 with a plan, 1 without, 3 at fault"), "{}", run.out);
    let csv = room.read("one/results.csv");
    assert_eq!(first_cells(&csv), ["mine", "bad", "none", "tides", "small", "boxed", "lost"]);
    let rows: Vec<Value> =
        room.read("one/results.jsonl").lines().map(|l| serde_json::from_str(l).unwrap()).collect();
    let results: Vec<&str> = rows.iter().filter_map(|r| r["result"].as_str()).collect();
    assert_eq!(results[..4], ["fits", "fault", "fault", "fits"]);
    assert_eq!(results[5..], ["fits", "fault"]);
    assert!(rows[6]["finding"].as_str().unwrap().contains("S058"), "{}", rows[6]);
    let plan: Value = serde_json::from_str(&room.read("one/tides.plan.json")).unwrap();
    assert_eq!(plan["title"], "Tides in birch");
    assert_eq!(first_cells(&room.read("one/times.csv")).len(), 7);
    assert!(!csv.contains("seconds"));

    for threads in ["2", "8"] {
        batch(threads, threads).ends(3);
        same(&files(&room, "one"), &files(&room, threads));
    }
}

#[test]
fn what_each_insert_costs_is_told() {
    let room = Room::new();
    let [shelf, boxes, stocks] =
        ["shelf.csv", "boxes.csv", "stocks.toml"].map(|f| scenario(&format!("shop/{f}")));
    let words =
        words!["batch", shelf, "--boxes", boxes, "--stock", stocks, "--nodes", "5000", "--out", "out"];
    room.run(words).ends(0);
    let rows: Vec<Value> =
        room.read("out/results.jsonl").lines().map(|l| serde_json::from_str(l).unwrap()).collect();
    let cost = |r: &Value| r["box_price"].as_f64().unwrap() + r["sheet_price"].as_f64().unwrap();
    let least = rows.iter().min_by(|a, b| cost(a).total_cmp(&cost(b))).unwrap();
    let summary = room.read("out/summary.txt");
    let said = format!("together {:.2} (job {})", cost(least), least["id"].as_str().unwrap());
    assert!(summary.contains(&said), "{said} in\n{summary}");
    // Board comes in sheets of one price (scenarios/shop/stocks.toml), and no tray has fewer than five panels.
    for row in &rows {
        let number = |column: &str| row[column].as_f64().unwrap();
        if row["stock"] == "greyboard-2" {
            assert!((number("sheet_price") - 2.8 * number("sheets")).abs() < 1e-9, "{row}");
        }
        assert!(number("panels") >= 5.0 * number("trays") && number("sheets") >= 1.0, "{row}");
        assert!(number("yield_percent") > 0.0 && number("yield_percent") <= 100.0, "{row}");
    }
}

#[test]
fn the_exit_code_of_a_batch_is_its_gravest() {
    let room = Room::new();
    let tides = scenario("easy/tides.toml");
    let full = scenario("easy/too-full.toml");
    let batch = |lines: &str| {
        room.write("jobs.csv", &format!("id,brief\n{lines}"));
        room.run(&["batch", "jobs.csv", "--out", "out", "--nodes", "20000"])
    };
    batch(&format!("a,{}\n", tides.display())).ends(0);
    batch(&format!("a,{}\nb,{}\n", tides.display(), full.display())).ends(2);
    batch(&format!("a,{}\nb,none.toml\n", tides.display())).ends(3);
    batch("").ends(3);
    room.run(&["batch", "none.csv", "--out", "out"]).ends(3);
}

#[test]
fn the_shops_own_list_runs() {
    let room = Room::new();
    let run =
        room.run(words!["batch", scenario("shop/jobs.csv"), "--out", "out", "--nodes", "20000"]).ends(3);
    assert!(run.out.starts_with("9 jobs: "), "{}", run.out);
    assert!(run.out.contains(" 1 at fault"), "only the missing brief: {}", run.out);
}

#[test]
fn a_broken_list_has_findings_on_its_lines_and_the_rest_is_done() {
    let room = Room::new();
    let tides = scenario("easy/tides.toml").display().to_string();
    let list = format!(
        "id,brief,box,stock\ngood,{tides},,\nbroken,{tides}\nquoted,\"{tides},,\nstock,{tides},,no such stock\n\
         good,{tides},,\nbox,{tides},no such box,\nlast,{tides},,birch-3\n"
    );
    room.write("jobs.csv", &list);
    let words = words![
        "batch",
        "jobs.csv",
        "--out",
        "out",
        "--stock",
        scenario("shop/stocks.toml"),
        "--nodes",
        "20000"
    ];
    let run = room.run(words).ends(3);
    assert!(run.out.starts_with("7 jobs: 2 with a plan, 0 without, 5 at fault"), "{}", run.out);
    let rows: Vec<Value> =
        room.read("out/results.jsonl").lines().map(|l| serde_json::from_str(l).unwrap()).collect();
    let codes = ["", "S051", "S051", "S003", "S055", "S058", ""];
    for (row, code) in rows.iter().zip(codes) {
        assert!(row["finding"].as_str().unwrap_or("").contains(code), "{row}");
        assert_eq!(row["result"] == "fits", code.is_empty(), "{row}");
    }
    assert!(room.read("out/summary.txt").contains("Without a result"), "{}", room.read("out/summary.txt"));
}

#[test]
fn portions_joined_are_the_undivided_run() {
    let room = Room::new();
    many(&room, 11);
    let run = |out: &str, portion: &str| {
        let words = ["batch", "many.csv", "--nodes", "2000", "--out", out, "--portion", portion];
        room.run(&words).ends(0)
    };
    run("whole", "1/1");
    for k in ["1/3", "2/3", "3/3"] {
        run(&format!("part-{}", &k[..1]), k);
    }
    room.run(&["join", "part-2", "part-1", "part-3", "--out", "joined"]).ends(0);
    same(&files(&room, "whole"), &files(&room, "joined"));
    assert_eq!(first_cells(&room.read("joined/times.csv")).len(), 11);

    let unfit: [(&[&str], &str); 5] = [
        (&["part-1", "part-3"], "S064"),
        (&["part-1", "part-2", "part-3", "part-2"], "S063"),
        (&["part-1", "nowhere"], "cannot read"),
        (&["whole", "part-2"], "S063"),
        (&[".", "part-2"], "cannot read"),
    ];
    for (dirs, said) in unfit {
        let mut words = vec!["join"];
        words.extend(dirs);
        words.extend(["--out", "other"]);
        let run = room.run(&words).ends(3);
        assert!(run.err.contains(said), "{dirs:?}: {}", run.err);
        assert!(room.names("other").is_empty());
    }
    // A file that somebody changed is told of, and nothing is made of it.
    let report = room.read("part-2/job-1.html");
    room.write("part-2/job-1.html", &report.replace("<h1>", "<h1>x"));
    let run = room.run(&["join", "part-1", "part-2", "part-3", "--out", "other"]).ends(3);
    assert!(run.err.contains("S064") && !room.path("other").exists(), "{}", run.err);
    // Into a folder that holds something nothing is joined.
    room.run(&["join", "part-1", "part-2", "part-3", "--out", "whole"]).ends(3);
    for portion in ["0/3", "4/3", "1", "a/b", "1/0"] {
        room.run(&["batch", "many.csv", "--out", "x", "--portion", portion]).ends(3);
    }
}

/// Identifiers of all complete lines of a journal.
fn journalled(room: &Room, dir: &str) -> Vec<String> {
    let text = std::fs::read(room.path(dir).join("journal.jsonl")).unwrap_or_default();
    let text = String::from_utf8_lossy(&text).into_owned();
    let whole = text.split_inclusive('\n').skip(1).filter(|l| l.ends_with('\n'));
    whole.map(|l| serde_json::from_str::<Value>(l).unwrap()["id"].as_str().unwrap().to_owned()).collect()
}

#[test]
#[cfg(unix)]
fn killed_at_ten_moments_no_finished_line_is_lost_and_none_repeated() {
    let room = Room::new();
    many(&room, 60);
    let words = ["batch", "many.csv", "--nodes", "1500", "--files", "plans", "--threads", "2", "--out"];
    room.run(&[&words[..], &["whole"]].concat()).ends(0);
    let mut state = 1u64;
    let mut before: Vec<String> = Vec::new();
    for kill in 0..10 {
        let resume: &[&str] = if kill == 0 { &[] } else { &["--resume"] };
        let mut child = room
            .command()
            .args([&words[..], &["killed"], resume].concat())
            .stdout(Stdio::null())
            .stderr(Stdio::null())
            .spawn()
            .unwrap();
        // Some moment after the next few lines; where in a line or a file it falls is left to chance.
        state = state.wrapping_mul(6364136223846793005).wrapping_add(1442695040888963407);
        let wanted = (before.len() + 1 + (state >> 60) as usize % 6).min(58);
        while journalled(&room, "killed").len() < wanted && child.try_wait().unwrap().is_none() {
            std::thread::sleep(std::time::Duration::from_micros(200 + (state >> 50) % 3000));
        }
        child.kill().unwrap();
        child.wait().unwrap();
        let now = journalled(&room, "killed");
        let mut once = now.clone();
        once.sort();
        once.dedup();
        assert_eq!(once.len(), now.len(), "a line is repeated after kill {kill}: {now:?}");
        assert!(before.iter().all(|id| now.contains(id)), "a line is lost after kill {kill}");
        before = now;
    }
    // What a kill between two renames, or in the middle of a line, leaves.
    room.write("killed/.job-59.plan.json.1.new", "{");
    let torn = room.path("killed").join("journal.jsonl");
    let mut text = std::fs::read(&torn).unwrap();
    text.extend("{\"job\":59,\"id\":\"jö".as_bytes());
    text.pop();
    std::fs::write(&torn, text).unwrap();
    let refused = room.run(&[&words[..], &["killed"]].concat()).ends(3);
    assert!(refused.err.contains("S065"), "{}", refused.err);
    std::fs::rename(&torn, room.path("killed/.journal.jsonl.1.old")).unwrap();
    let run = room.run(&[&words[..], &["killed", "--resume"]].concat()).ends(0);
    assert!(run.err.starts_with(&format!("{} of 60 jobs are done already", before.len())), "{}", run.err);
    same(&files(&room, "whole"), &files(&room, "killed"));
    assert_eq!(first_cells(&room.read("killed/times.csv")).len(), 60);
    assert!(room.read("killed/times.csv").lines().all(|l| !l.ends_with(',')), "every time is known");
}

#[test]
fn what_has_changed_is_done_again() {
    let room = Room::new();
    many(&room, 5);
    let run = |more: &[&str]| {
        let words = [&["batch", "many.csv", "--nodes", "2000", "--out", "out", "--resume"], more].concat();
        room.run(&words).ends(0).err
    };
    assert!(run(&[]).starts_with("0 of 5 "));
    assert!(run(&[]).starts_with("5 of 5 "));
    let list = room.read("many.csv");
    room.write(
        "many.csv",
        &(list.replace(",153,107,", ",154,107,") + &list.lines().nth(1).unwrap().replace("job-0", "more")),
    );
    assert!(run(&[]).starts_with("4 of 6 "));
    std::fs::remove_file(room.path("out/job-3.html")).unwrap();
    room.write("out/job-2.plan.json", "{}");
    assert!(run(&[]).starts_with("4 of 6 "));
    assert!(run(&["--seed", "2"]).starts_with("0 of 6 "));
}

#[test]
fn a_folder_that_cannot_be_written_is_told_at_once() {
    let room = Room::new();
    many(&room, 3);
    room.write("file", "");
    let run = room.run(&["batch", "many.csv", "--out", "file/out"]).ends(3);
    assert!(run.err.contains("cannot make file/out"), "{}", run.err);
    room.write("other/journal.jsonl", "no journal\n");
    let run = room.run(&["batch", "many.csv", "--out", "other"]).ends(3);
    assert!(run.err.contains("S062"), "{}", run.err);
    assert_eq!(room.names("other"), ["journal.jsonl"]);
}

/// A limit on the size of files stands for a disk that is full.
#[test]
#[cfg(target_os = "linux")]
fn a_full_disk_ends_the_run_and_leaves_nothing_half_written() {
    let room = Room::new();
    many(&room, 40);
    let limited = |blocks: &str, more: &str| {
        let line = format!(
            "trap '' XFSZ; ulimit -f {blocks}; exec {} batch many.csv --nodes 2000 --threads 2 --out out {more}",
            env!("CARGO_BIN_EXE_traywright")
        );
        let done = std::process::Command::new("bash").args(["-c", &line]).current_dir(room.path("")).output();
        crate::room::Run::from(done.unwrap())
    };
    // 20 KiB hold a journal of some plans' lines, but not all.
    let run = limited("20", "--files plans").ends(3);
    assert!(run.err.contains("cannot write") && run.err.contains("--resume"), "{}", run.err);
    let kept = journalled(&room, "out");
    assert!(!kept.is_empty() && kept.len() < 40, "{}", kept.len());
    assert!(room.read("out/journal.jsonl").ends_with('\n'), "half a line");
    let names = room.names("out");
    assert!(names.iter().all(|n| !n.starts_with('.') && !n.starts_with("results")), "{names:?}");
    // A report does not go into 4 KiB: the first job ends the run.
    let run = limited("4", "--files all --resume").ends(3);
    assert!(run.err.contains("cannot write"), "{}", run.err);
    let names = room.names("out");
    assert!(names.iter().all(|n| !n.starts_with('.') && !n.ends_with(".html")), "{names:?}");
    let words = ["batch", "many.csv", "--nodes", "2000", "--files", "plans", "--out", "out", "--resume"];
    room.run(&words).ends(0);
    assert_eq!(first_cells(&room.read("out/results.csv")).len(), 40);
}

#[test]
fn the_smallest_box_of_the_shelf_is_told() {
    let room = Room::new();
    let list = format!("id,brief,box,stock\ntides,{},*,greyboard-2\n", scenario("easy/tides.toml").display());
    room.write("jobs.csv", &list);
    let words = words![
        "batch",
        "jobs.csv",
        "--out",
        "out",
        "--boxes",
        scenario("shop/boxes.csv"),
        "--stock",
        scenario("shop/stocks.toml"),
        "--nodes",
        "20000",
        "--files",
        "none"
    ];
    room.run(words).ends(0);
    let text = room.read("out/summary.txt");
    assert!(
        text.contains("smallest box that fits, at the least cost: small (200 × 150 × 60 mm), 1.80 l, greyboard-2, box 4.10"),
        "{text}"
    );
    let page = room.read("out/summary.html");
    assert!(page.contains("tides.small") && !page.contains("http-equiv"), "{page}");
    assert_eq!(first_cells(&room.read("out/results.csv")).len(), 5);
}
