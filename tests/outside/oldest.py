"""The whole workspace builds with the oldest Rust that its manifest states, from the versions of the lock file."""

import os
import pathlib
import re
import subprocess
import sys

ROOT = pathlib.Path(__file__).resolve().parents[2]


def main():
    stated = re.search(r'^rust-version = "([\d.]+)"', (ROOT / "Cargo.toml").read_text(), re.M)
    if not stated:
        print("Cargo.toml states no rust-version")
        return 1
    version = stated[1]
    subprocess.run(["rustup", "toolchain", "install", version, "--profile", "minimal"], check=True, capture_output=True)
    # What an outer cargo sets names the outer toolchain.
    env = {k: v for k, v in os.environ.items() if not k.startswith(("CARGO", "RUST"))}
    env |= {k: v for k, v in os.environ.items() if k in ("CARGO_HOME", "RUSTUP_HOME", "CARGO_BUILD_JOBS")}
    cargo = ["rustup", "run", version, "cargo", "check", "--quiet", "--workspace", "--all-targets", "--locked"]
    done = subprocess.run([*cargo, "--target-dir", str(ROOT / "target" / "oldest")], cwd=ROOT, env=env)
    print(f"Rust {version}: {'builds' if done.returncode == 0 else 'DOES NOT BUILD'}")
    return done.returncode


if __name__ == "__main__":
    sys.exit(main())
