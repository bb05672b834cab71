"""The unprivileged account that PostgreSQL needs when everything runs as root."""

import os
import pwd
import shutil
import stat
import subprocess
from pathlib import Path

from firm.embedded.places import EmbeddedError

NAME = "kingpost"


def server_account() -> pwd.struct_passwd | None:
    """Return the account to run PostgreSQL as; None: as whoever we are.

    PostgreSQL refuses to run as root, so root gets a system account for it.
    """
    if os.geteuid() != 0:
        return None
    try:
        return pwd.getpwnam(NAME)
    except KeyError:
        pass
    useradd = shutil.which("useradd") or "/usr/sbin/useradd"
    made = subprocess.run(
        [useradd, "--system", "--no-create-home", "--shell", "/usr/sbin/nologin", NAME],
        capture_output=True,
        text=True,
        check=False,
    )
    if made.returncode not in {0, 9}:  # 9: somebody else made it meanwhile
        raise EmbeddedError(f"Could not make the account {NAME}: {made.stderr.strip()}")
    return pwd.getpwnam(NAME)


def let_reach(path: Path) -> None:
    """Let other accounts pass through, not list, the folders above a path.

    A checkout below /root or a private temporary folder would otherwise hide the
    data folder and the programs from the server's account.
    """
    for folder in path.resolve().parents:
        mode = folder.stat().st_mode
        if not mode & stat.S_IXOTH:
            folder.chmod(mode | stat.S_IXOTH)


def let_read(tree: Path) -> None:
    """Open an installed tree to other accounts, as the usual umask would have."""
    let_reach(tree)
    if tree.stat().st_mode & stat.S_IROTH:
        return
    for path in [tree, *tree.rglob("*")]:
        if path.is_symlink():
            continue
        mode = path.stat().st_mode
        extra = stat.S_IROTH | (stat.S_IXOTH if mode & stat.S_IXUSR else 0)
        path.chmod(mode | extra)


def hand_over(folder: Path, account: pwd.struct_passwd) -> None:
    """Give a folder to the server's account and let the account reach it."""
    let_reach(folder)
    os.chown(folder, account.pw_uid, account.pw_gid)
