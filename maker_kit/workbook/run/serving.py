"""The server behind `maker-kit open`, in a process of its own: it reads one line of orders, serves to this machine, and
stops when its input ends.
"""

from __future__ import annotations

import json
import os
import shutil
import sys
import tempfile
import threading
from collections.abc import Mapping
from importlib import resources
from pathlib import Path
from typing import Any

from maker_kit.workbook.run.lean import leave_out_the_grammar, out_of_reach

WARM = "__import__('maker_kit.workbook.run.warm', fromlist=['fetch']).fetch();"
LAB = resources.files("maker_kit.workbook").joinpath("lab")

NOT_IN_A_DOCUMENT = (
    "@jupyterlab/apputils-extension:announcements",
    "@jupyterlab/celltags-extension",
    "@jupyterlab/console-extension",
    "@jupyterlab/csvviewer-extension",
    "@jupyterlab/debugger-extension",
    "@jupyterlab/extensionmanager-extension",
    "@jupyterlab/fileeditor-extension",
    "@jupyterlab/help-extension",
    "@jupyterlab/htmlviewer-extension",
    "@jupyterlab/hub-extension",
    "@jupyterlab/imageviewer-extension",
    "@jupyterlab/inspector-extension",
    "@jupyterlab/javascript-extension",
    "@jupyterlab/launcher-extension",
    "@jupyterlab/logconsole-extension",
    "@jupyterlab/lsp-extension",
    "@jupyterlab/markdownviewer-extension",
    "@jupyterlab/mermaid-extension",
    "@jupyterlab/metadataform-extension",
    "@jupyterlab/notebook-extension:export",
    "@jupyterlab/notebook-extension:update-raw-mimetype",
    "@jupyterlab/pdf-extension",
    "@jupyterlab/running-extension",
    "@jupyterlab/settingeditor-extension",
    "@jupyterlab/terminal-extension",
    "@jupyterlab/toc-extension",
    "@jupyterlab/vega5-extension",
    "@jupyterlab/workspaces-extension",
)
"""Tools of JupyterLab that the view of one document goes without: they are out of sight there, and keep the server and
the page busy while the first picture is waited for.
"""


def main() -> int:
    """Serve until the input ends.

    Returns
    -------
    int
        0.
    """
    tempfile.tempdir = str(
        Path.cwd()
    )  # the empty folder that Jupyter makes in place of everybody's settings goes with the scratch folder
    from jupyter_core.paths import jupyter_config_dir

    leave_out_the_grammar()
    import jupyterlab_server.app  # noqa: F401 - what takes longest, and needs no orders

    with out_of_reach():
        from jupyterlab.labapp import LabApp

    config = Path(jupyter_config_dir())
    tempfile.tempdir = None
    told = sys.stdin.buffer.readline()
    if not told.endswith(b"\n"):
        return 0
    orders = json.loads(told)
    room = Path(orders["room"])
    with resources.as_file(LAB) as lab:
        shutil.copytree(lab / "labconfig", config / "labconfig")
    _keep_kernelspec(room)
    os.environ["MAKER_KIT_WORKSHOP"] = orders["workshop"]
    LabApp.load_other_extensions = False
    server = LabApp.initialize_server(argv=words(orders))
    server.web_app.settings["page_config_data"] |= {
        "makerKitNotebooks": orders["own"],
        "buildAvailable": False,
        "buildCheck": False,
    }
    server.web_app.settings["page_config_hook"] = _less_in_a_document
    _trust(server, orders)
    server.io_loop.add_callback(
        server.session_manager.create_session,
        path=orders["first"],
        name=orders["first"],
        type="notebook",
        kernel_name="python3",
    )
    ended = threading.Event()

    def listen() -> None:
        sys.stdin.buffer.read()
        ended.set()
        server.io_loop.add_callback(server.stop)

    threading.Thread(target=listen, daemon=True).start()
    server.start()
    if ended.is_set():
        from maker_kit.workbook.run.copies import clear_scratch, notebook_folder

        clear_scratch(notebook_folder(), room)
    return 0


def words(orders: Mapping[str, Any]) -> list[str]:
    """The settings of the server; given as the words of a command they stand above any file of settings.

    Parameters
    ----------
    orders : Mapping of str to object
        As `maker_kit.workbook.run.opening.orders` gives them.

    Returns
    -------
    list of str
    """
    settings = {
        "ServerApp.ip": "127.0.0.1",
        "ServerApp.port": orders["port"],
        "ServerApp.port_retries": 0,
        "ServerApp.root_dir": orders["folder"],
        "ServerApp.open_browser": False,
        "ServerApp.allow_remote_access": False,
        "ServerApp.allow_origin": "",
        "ServerApp.disable_check_xsrf": False,
        "ServerApp.answer_yes": True,
        "ServerApp.allow_root": hasattr(os, "geteuid") and os.geteuid() == 0,
        "ServerApp.identity_provider_class": "jupyter_server.auth.identity.PasswordIdentityProvider",
        "IdentityProvider.token": orders["token"],
        "PasswordIdentityProvider.hashed_password": "",
        "LabApp.extra_labextensions_path": LAB.joinpath("labextensions"),
        "LabApp.expose_app_in_browser": False,
        "LabApp.extension_manager": "readonly",
    }
    return [f"--{name}={value}" for name, value in settings.items()]


def kernelspec() -> dict[str, Any]:
    """How a session is started: by this Python, with the tools fetched before the page asks for them."""
    return {
        "argv": [
            sys.executable,
            "-m",
            "ipykernel_launcher",
            "-f",
            "{connection_file}",
            f"--InteractiveShellApp.exec_lines={WARM}",
        ],
        "display_name": "Python 3 (ipykernel)",
        "language": "python",
        "metadata": {"debugger": True},
        "env": {"JUPYTER_NO_CONFIG": ""},
    }


def _less_in_a_document(handler: Any, page: dict[str, Any]) -> dict[str, Any]:
    """The settings of a page; the view of one document goes without some tools, which stand in JupyterLab itself as
    ever.
    """
    if not handler.request.path.startswith(f"{handler.base_url}doc"):
        return page
    return {**page, "disabledExtensions": [*page.get("disabledExtensions", ()), *NOT_IN_A_DOCUMENT]}


def _keep_kernelspec(room: Path) -> None:
    """Put the way a session is started where Jupyter looks first."""
    folder = room / "share" / "kernels" / "python3"
    folder.mkdir(parents=True)
    (folder / "kernel.json").write_text(json.dumps(kernelspec()), encoding="utf-8")
    os.environ["JUPYTER_PATH"] = os.pathsep.join(filter(None, [str(room / "share"), os.environ.get("JUPYTER_PATH")]))


def _trust(server: Any, orders: Mapping[str, Any]) -> None:
    """Sign the notebooks that are the workbook's own to the byte, as Jupyter signs what somebody ran and saved; the
    page runs nothing that is not signed.
    """
    import nbformat

    def sign(name: str) -> None:
        server.contents_manager.notary.sign(nbformat.read(Path(orders["folder"]) / name, as_version=4))

    first, *others = sorted(orders["untouched"], key=lambda name: name != orders["first"]) or [None]
    if first:
        sign(first)
    for at, name in enumerate(others):  # one by one, while the page is still fetching what it is made of
        server.io_loop.call_later(0.03 * (at + 1), sign, name)


if __name__ == "__main__":
    sys.exit(main())
