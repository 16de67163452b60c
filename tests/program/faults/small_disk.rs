//! Places that are full, read-only, or someone else's. Mounts need a mount namespace, which some systems do not
//! give to ordinary users: then these tests say so and pass.

use super::child::{contents, incomplete, litter, run, with_car};
use std::fs;
use std::os::unix::fs::{MetadataExt as _, PermissionsExt as _};
use std::path::Path;
use std::process::Command;

/// Runs a shell script as root of a namespace in which it may mount, with the program as `$farwheel`, in a directory;
/// what it says on standard output. `None` where that is not allowed.
fn mounting(dir: &Path, script: &str) -> Option<String> {
    let unshare = |more: &[&str]| {
        let mut command = Command::new("unshare");
        command.args(["--user", "--map-root-user", "--mount"]).args(more).current_dir(dir);
        command.env("farwheel", env!("CARGO_BIN_EXE_farwheel"));
        command.output()
    };
    let may = "mkdir -p probe && mount -t tmpfs -o size=64k none probe";
    if !unshare(&["sh", "-c", may]).is_ok_and(|o| o.status.success()) {
        eprintln!("skipped: no small disk can be mounted here");
        return None;
    }
    let output = unshare(&["sh", "-euc", script]).expect("it starts");
    let said = String::from_utf8_lossy(&output.stdout).into_owned();
    assert!(output.status.success(), "{said}\n{}", String::from_utf8_lossy(&output.stderr));
    Some(said)
}

/// Commands that write a file `$1`, or into a directory `$1`, each a line.
const COMMANDS: &str = r#"
"$farwheel" flush car.toml --no-error-estimate --quiet --json "$1/out.json"
"$farwheel" flush car.toml --no-error-estimate --quiet --csv "$1/out.csv"
"$farwheel" flush car.toml --no-error-estimate --quiet --plots "$1"
"$farwheel" flush car.toml --no-error-estimate --quiet --plots "$1/new"
"$farwheel" orders car.toml --quiet --json "$1/out.json"
"$farwheel" pressures car.toml --quiet --json "$1/out.json"
"$farwheel" layouts car.toml --quiet --json "$1/out.json"
"$farwheel" spread car.toml --draws 20 --quiet --json "$1/out.json"
"$farwheel" plan car.toml --old-overall "20 %" --grid "100 mL" --quiet -o "$1/out.toml"
"$farwheel" card car.toml --draws 20 -o "$1/out.html"
"$farwheel" live car.toml -o "$1/out.html"
"#;

/// In `disk`: what is there stays, nothing new comes; each command ends with status 1 and says why.
fn each_fails(disk: &str, words: &str) -> String {
    let mut script = format!("set -- {disk}\n");
    for line in COMMANDS.trim().lines() {
        script.push_str(&format!(
            r#"before=$(ls -AR "$1"; cat "$1"/out.*)
status=0; {line} >told 2>&1 || status=$?
if [ $status -ne 1 ]; then echo 'status '$status' of {line}'; cat told; fi
if ! grep -q 'could not be written: {words}' told; then echo 'of {line}'; cat told; fi
rmdir "$1/new" 2>/dev/null || true
after=$(ls -AR "$1"; cat "$1"/out.*)
if [ "$before" != "$after" ]; then echo 'changed by {line}'; ls -AR "$1"; fi
"#
        ));
    }
    script
}

const OLD_FILES: &str =
    "for kind in json csv html toml; do echo \"old $kind\" > disk/out.$kind; done\n";

#[test]
fn on_a_full_disk_what_was_there_stays_whole() {
    let dir = with_car();
    let fill = "mkdir disk && mount -t tmpfs -o size=32k none disk\n";
    // A few bytes are free: a file can be begun, not ended.
    let full = "head -c 1000000 /dev/zero > disk/fill 2>/dev/null || true\n";
    let script = [fill, OLD_FILES, full, &each_fails("disk", "No space left")].concat();
    if let Some(said) = mounting(dir.path(), &script) {
        assert_eq!(said, "");
    }
}

#[test]
fn on_a_read_only_disk_what_was_there_stays_whole() {
    let dir = with_car();
    let fill = "mkdir disk && mount -t tmpfs -o size=1m none disk && cp car.toml disk/\n";
    let lock = "mount -o remount,ro disk\n";
    // The scenario may lie there; reading is all it takes.
    let read = "\"$farwheel\" flush disk/car.toml --no-error-estimate --quiet --json here.json\n";
    let script =
        [fill, OLD_FILES, lock, read, &each_fails("disk", "Read-only file system")].concat();
    if let Some(said) = mounting(dir.path(), &script) {
        assert_eq!(said, "");
        assert_eq!(incomplete(&dir.path().join("here.json")), None);
    }
}

/// The program as an ordinary user, for root may write everywhere; `None` if that cannot be.
fn ordinary(dir: &Path, arguments: &[&str]) -> Option<super::child::Run> {
    if fs::metadata("/proc/self").is_ok_and(|m| m.uid() != 0) {
        return Some(run(dir, arguments));
    }
    // The program may lie where only root can go.
    let copy = dir.join("farwheel");
    if !copy.exists() {
        fs::copy(env!("CARGO_BIN_EXE_farwheel"), &copy).expect("a copy");
    }
    let as_nobody = |program: &Path| {
        let mut command = Command::new("setpriv");
        command.args(["--reuid=65534", "--regid=65534", "--clear-groups"]).arg(program);
        command.current_dir(dir);
        command
    };
    if !as_nobody(Path::new("true")).status().is_ok_and(|s| s.success()) {
        eprintln!("skipped: root, and no way to be anyone else");
        return None;
    }
    Some(as_nobody(&copy).args(arguments).output().expect("it starts").into())
}

#[test]
fn what_may_not_be_written_is_not_replaced() {
    let dir = with_car();
    let at = |name: &str| dir.path().join(name);
    let mode = |name: &str, mode| {
        fs::set_permissions(at(name), fs::Permissions::from_mode(mode)).unwrap();
    };
    for folder in ["open", "closed"] {
        fs::create_dir(at(folder)).unwrap();
        for file in ["out.json", "out.csv", "clearing.png"] {
            fs::write(at(folder).join(file), "old").unwrap();
            mode(&format!("{folder}/{file}"), 0o444);
        }
    }
    fs::write(at("secret.toml"), super::CAR).unwrap();
    mode("secret.toml", 0o000);
    mode("open", 0o777);
    mode("closed", 0o555);
    mode(".", 0o755);
    if ordinary(dir.path(), &["schema"]).is_none() {
        return;
    }
    let before = contents(&at("open"));
    let closed = contents(&at("closed"));
    let attempts: [&[&str]; 6] = [
        &["--json", "open/out.json"],
        &["--csv", "open/out.csv"],
        &["--plots", "open"],
        &["--json", "closed/new.json"],
        &["--plots", "closed"],
        &["--plots", "closed/new"],
    ];
    for outputs in attempts {
        let arguments = [&["flush", "car.toml", "--quiet"], outputs].concat();
        let told = ordinary(dir.path(), &arguments).expect("as before");
        assert_eq!(told.status, Some(1), "{outputs:?}: {}", told.err);
        assert!(
            told.err.contains("Permission denied")
                && told.err.contains("name a place that may be written to"),
            "{}",
            told.err
        );
        assert!(contents(&at("open")) == before && contents(&at("closed")) == closed);
    }
    let told = ordinary(dir.path(), &["flush", "secret.toml"]).expect("as before");
    assert_eq!(told.status, Some(2), "{}", told.err);
    assert!(told.err.contains("can't be read: Permission denied"), "{}", told.err);
    mode("closed", 0o755);
    assert!(litter(dir.path()).is_empty());
}
