"""Many sites: one table whatever plans them, whatever dies on the way, and however often it is begun."""

import http.server
import json
import multiprocessing
import os
import signal
import socket
import sys
import threading
import time
from contextlib import contextmanager

import pyogrio
import pytest
from read_back import csv_rows
from sites import plane, write_tile

from swalekit.cli.main import run
from swalekit.errors import InputError, OutputError
from swalekit.results.batch import cluster as site_cluster
from swalekit.results.batch import run as batch_run
from swalekit.results.batch.run import plan_sites
from swalekit.results.batch.work import plan_site
from swalekit.results.plan import write as results

distributed = pytest.importorskip("distributed")

BRIEF = '[terrain]\nfile = "plane.tif"\n[storm]\ndepth_mm = 50\n[soil]\ncurve_number = 80\n[levels]\ninterval_m = 2\n'
TABLE = """site,brief,storm.depth_mm,levels.interval_m,terrain.file
dry,site.toml,,,
wet,site.toml,70,,
nowhere,missing.toml,,,
wide,site.toml,,3,
bare,site.toml,,,missing.tif
"""
PLANNED = ("dry", "wet", "wide")


@pytest.fixture(scope="module")
def table(tmp_path_factory):
    """Five sites of one brief: two of them name a file that is not there."""
    folder = tmp_path_factory.mktemp("sites")
    write_tile(folder / "plane.tif", plane(shape=(60, 50)).heights)
    (folder / "site.toml").write_text(BRIEF, encoding="utf-8")
    (folder / "sites.csv").write_text(TABLE, encoding="utf-8")
    return folder / "sites.csv"


@pytest.fixture
def here(monkeypatch, tmp_path):
    """Plan in this process, maps left blank; gives the names of the sites planned, in order."""
    asked: list[str] = []

    def planned(works, _):
        for work in works:
            asked.append(work.site)
            yield work, plan_site(work, str(tmp_path))

    monkeypatch.setattr(batch_run, "plan_in_processes", planned)
    for name in ("save_png", "save_pdf"):
        monkeypatch.setattr(results, name, lambda _, path, **_more: path.touch())
    return asked


@pytest.fixture(scope="module")
def alone(table):
    """Folder of a batch planned by one process."""
    plan_sites(table, table.parent / "alone", workers=1)
    return table.parent / "alone"


@pytest.fixture(scope="module")
def cluster():
    """A scheduler and two workers on this machine."""
    with distributed.LocalCluster(
        n_workers=2, threads_per_worker=1, processes=True, host="127.0.0.1", dashboard_address="127.0.0.1:0"
    ) as made:
        made.wait_for_workers(2, timeout=60)
        yield made


def _contents(folder) -> dict[str, bytes]:
    return {str(file.relative_to(folder)): file.read_bytes() for file in sorted(folder.rglob("*")) if file.is_file()}


def test_a_failed_site_is_a_row_and_the_others_go_on(alone):
    """A row a site in the order of the table: totals as in its summary, or a one-line error."""
    rows = {row["site"]: row for row in csv_rows(alone / "batch.csv")}
    assert list(rows) == ["dry", "wet", "nowhere", "wide", "bare"]
    for site in PLANNED:
        totals = json.loads((alone / site / "summary.json").read_text(encoding="utf-8"))["totals"]
        assert {name: rows[site][name] for name in totals} == {
            name: "" if value is None else str(value) for name, value in totals.items()
        }
        assert rows[site]["error"] == ""
        assert rows[site]["design_storm_mm"] == ("70.0" if site == "wet" else "50.0")
        holds = totals["held_storm_mm"] >= float(rows[site]["design_storm_mm"])
        assert rows[site]["holds"] == ("yes" if holds else "no")
    assert float(rows["wet"]["runoff_m3"]) > float(rows["dry"]["runoff_m3"])
    for site, file in (("nowhere", "missing.toml"), ("bare", "missing.tif")):
        assert file in rows[site]["error"]
        assert rows[site]["swales"] == ""
        assert not (alone / site).exists()


def test_the_geopackage_holds_the_swales_of_all_sites(alone):
    """In WGS 84, with the name of the site and the figures of its own file."""
    frame = pyogrio.read_dataframe(alone / "batch.gpkg", layer="swales")
    assert frame.crs.to_epsg() == 4326
    assert list(frame["site"].unique()) == list(PLANNED)
    wide = pyogrio.read_dataframe(alone / "wide" / "swales.geojson")
    assert frame[frame["site"] == "wide"]["dug_m3"].tolist() == wide["dug_m3"].tolist()
    assert frame[frame["site"] == "wide"].geometry.tolist() == wide.geometry.tolist()


def test_two_processes_give_the_same_bytes(table, alone):
    """Every file of every site, table and GeoPackage."""
    plan_sites(table, table.parent / "pair", workers=2)
    assert _contents(table.parent / "pair") == _contents(alone)


def test_a_process_that_dies_takes_only_its_own_site_with_it(table):
    """Its row says so; another process takes its place; the next run plans that site."""
    others = multiprocessing.active_children()

    def kill_first(said: str) -> None:
        if said.endswith(" 1 of 4"):
            (process,) = set(multiprocessing.active_children()).difference(others)
            os.kill(process.pid, signal.SIGKILL)

    folder = table.parent / "killed"
    rows = {row["site"]: row for row in plan_sites(table, folder, workers=1, stage=kill_first).rows}
    assert rows["dry"]["error"] == ""
    assert "ended before its work was done" in rows["wet"]["error"]
    assert rows["wide"]["error"] == ""
    rows = {row["site"]: row for row in plan_sites(table, folder, workers=1).rows}
    assert rows["wet"]["error"] == ""


def test_a_worker_killed_during_the_run_changes_nothing(table, alone, cluster):
    """The scheduler gives its site to the other worker: the same bytes as by one process."""
    killed: list[int] = []

    def kill_one_at_work(_: str) -> None:
        if killed:
            return
        with distributed.Client(cluster, set_as_default=False) as client:
            while not (busy := [worker for worker, keys in client.processing().items() if keys]):
                time.sleep(0.01)
            killed.append(client.run(os.getpid, workers=busy[:1])[busy[0]])
            os.kill(killed[0], signal.SIGKILL)

    plan_sites(
        table,
        table.parent / "cluster",
        cluster=cluster.scheduler_address,
        stage=lambda said: kill_one_at_work(said) if said.endswith("1 of 4") else None,
    )
    assert len(killed) == 1
    assert _contents(table.parent / "cluster") == _contents(alone)


def test_finished_sites_are_not_planned_again(table, here, tmp_path):
    """Only what failed is tried again, unless told otherwise, or an input is another."""
    folder = tmp_path / "batch"
    first = plan_sites(table, folder)
    assert here == ["dry", "wet", "wide", "bare"]
    here.clear()
    assert plan_sites(table, folder) == first
    assert here == ["bare"]
    here.clear()
    plan_sites(table, folder, overwrite=True)
    assert here == ["dry", "wet", "wide", "bare"]


def test_a_site_whose_brief_or_tile_is_another_is_planned_again(here, tmp_path):
    """A cell of the table changed: that site. Heights of the tile changed: all of them."""
    write_tile(tmp_path / "plane.tif", plane(shape=(60, 50)).heights)
    (tmp_path / "site.toml").write_text(BRIEF, encoding="utf-8")
    sites, folder = tmp_path / "sites.csv", tmp_path / "batch"
    sites.write_text("site,brief,storm.depth_mm\na,site.toml,50\nb,site.toml,60\n", encoding="utf-8")
    plan_sites(sites, folder)
    sites.write_text("site,brief,storm.depth_mm\na,site.toml,50\nb,site.toml,65\n", encoding="utf-8")
    plan_sites(sites, folder)
    assert here == ["a", "b", "b"]
    write_tile(tmp_path / "plane.tif", plane(0.12, shape=(60, 50)).heights)
    plan_sites(sites, folder)
    assert here == ["a", "b", "b", "a", "b"]


def test_an_interrupt_leaves_what_is_finished(table, alone, here, tmp_path):
    """The rest are rows that say so; the next run plans those and ends with the same table."""

    def interrupt(said: str) -> None:
        if " 2 of" in said:
            raise KeyboardInterrupt

    folder = tmp_path / "batch"
    batch = plan_sites(table, folder, stage=interrupt)
    assert batch.stopped
    assert [row["error"] for row in batch.rows if row["site"] in PLANNED] == ["", "", "not planned yet"]
    assert (folder / "wet" / "map.pdf").exists()
    plan_sites(table, folder)
    assert here == ["dry", "wet", "wide", "bare"]
    assert (folder / "batch.csv").read_bytes() == (alone / "batch.csv").read_bytes()
    assert (folder / "batch.gpkg").read_bytes() == (alone / "batch.gpkg").read_bytes()


def test_progress_counts_sites(table, here, tmp_path):
    """From none to all of those that had to be planned."""
    said: list[str] = []
    plan_sites(table, tmp_path / "batch", stage=said.append)
    assert said == [f"planning sites: {done} of 4" for done in range(5)]


def test_a_folder_of_something_else_is_left_alone(table, alone):
    """A plan's folder is not a batch's, nor the reverse."""
    with pytest.raises(OutputError, match="no earlier batch"):
        plan_sites(table, alone / "dry", overwrite=True)


@pytest.mark.parametrize("text", ["site,brief\ndry,dry.toml\n", "", "\xff"])
def test_a_users_own_batch_csv_is_never_overwritten(table, tmp_path, text):
    """A sites table of that name in the folder of results, or anything else that batch didn't write."""
    (tmp_path / "out").mkdir()
    own = tmp_path / "out" / "batch.csv"
    own.write_text(text, encoding="latin-1")
    with pytest.raises(OutputError, match="no earlier batch"):
        plan_sites(table, tmp_path / "out", overwrite=True)
    assert own.read_text(encoding="latin-1") == text


def test_a_site_whose_files_are_gone_or_changed_is_not_finished(table, tmp_path):
    """What is gone is planned anew; what was changed is the user's: the site's row says so, and it is kept."""
    plan_sites(table, tmp_path / "out", workers=1)
    site = next(path for path in (tmp_path / "out").iterdir() if (path / "swales.geojson").is_file())
    file = site / "swales.geojson"
    whole = file.read_bytes()
    file.unlink()
    plan_sites(table, tmp_path / "out", workers=1)
    assert file.read_bytes() == whole
    file.write_text("hello")
    rows = {row["site"]: row for row in plan_sites(table, tmp_path / "out", workers=1).rows}
    assert "'swales.geojson' among the results there is not as it was written" in rows[site.name]["error"]
    assert file.read_text() == "hello"


@contextmanager
def _web_server():
    """Port of something else that answers."""
    with http.server.HTTPServer(("127.0.0.1", 0), http.server.BaseHTTPRequestHandler) as server:
        thread = threading.Thread(target=server.serve_forever, daemon=True)
        thread.start()
        yield server.server_port
        server.shutdown()
        thread.join()


def test_a_cluster_that_does_not_answer_is_told(table, monkeypatch, tmp_path):
    """A port nobody listens on, one where something else does, and no address at all; nothing is written."""
    monkeypatch.setattr(site_cluster, "_ANSWER_S", 1)
    with socket.socket() as closed, socket.socket() as silent, _web_server() as other:
        closed.bind(("127.0.0.1", 0))
        silent.bind(("127.0.0.1", 0))
        silent.listen()
        ports = [*(listener.getsockname()[1] for listener in (closed, silent)), other]
        for address in (*(f"tcp://127.0.0.1:{port}" for port in ports), "nowhere"):
            with pytest.raises(InputError, match="can't be reached") as caught:
                plan_sites(table, tmp_path / "batch", cluster=address)
            assert address in str(caught.value)
            assert "\n" not in str(caught.value)
    assert not (tmp_path / "batch").exists()


def test_a_cluster_without_workers_is_told(table, tmp_path):
    """It would wait for ever."""
    with (
        distributed.LocalCluster(
            n_workers=0, processes=True, host="127.0.0.1", dashboard_address="127.0.0.1:0"
        ) as empty,
        pytest.raises(InputError, match="no workers"),
    ):
        plan_sites(table, tmp_path / "batch", cluster=empty.scheduler_address)


def test_a_cluster_that_loses_all_workers_is_told(table, monkeypatch, tmp_path):
    """The sites that wait are rows that say so, and nothing waits for ever."""
    monkeypatch.setattr(site_cluster, "_LOOK_S", 1)
    with distributed.LocalCluster(
        n_workers=1, threads_per_worker=1, processes=True, host="127.0.0.1", dashboard_address="127.0.0.1:0"
    ) as made:
        made.wait_for_workers(1, timeout=60)

        def desert(said: str) -> None:
            if said.endswith("1 of 4"):
                made.scale(0)

        rows = plan_sites(table, tmp_path / "batch", cluster=made.scheduler_address, stage=desert).rows
    errors = {row["site"]: row["error"] for row in rows}
    assert sum("no workers left" in error for error in errors.values()) >= 2
    assert errors["nowhere"] != site_cluster._NO_WORKERS


def test_workers_of_another_version_are_told(table, cluster, monkeypatch, tmp_path):
    """They would plan otherwise than this machine."""
    monkeypatch.setattr(site_cluster, "versions", lambda: {"swalekit": "0.0"})
    with pytest.raises(InputError, match=r"this machine '0\.0'; install the same"):
        plan_sites(table, tmp_path / "batch", cluster=cluster.scheduler_address)


def test_processes_and_a_cluster_are_not_asked_for_at_once(table, tmp_path):
    """Which of the two would count is never left to guess."""
    with pytest.raises(InputError, match="give --cluster alone"):
        plan_sites(table, tmp_path / "batch", workers=2, cluster="tcp://127.0.0.1:1")


@pytest.mark.parametrize(("sites", "code"), [(TABLE, 1), ("site,brief\ndry,site.toml\n", 0)])
def test_the_command_tells_failed_sites_by_its_exit_code(table, here, monkeypatch, capsys, tmp_path, sites, code):
    """Rows as JSON on standard output, nothing on standard error."""
    table = table.with_name(f"told{code}.csv")
    table.write_text(sites, encoding="utf-8")
    monkeypatch.setattr(sys, "argv", ["swalekit", "batch", str(table), "--out", str(tmp_path / "batch"), "--json"])
    with pytest.raises(SystemExit) as stop:
        run()
    out, err = capsys.readouterr()
    assert (stop.value.code, err) == (code, "")
    assert [row["site"] for row in json.loads(out)["sites"] if not row["error"]] == list(PLANNED if code else ["dry"])


def test_the_command_shows_totals_and_errors(table, here, monkeypatch, capsys, tmp_path):
    """A row a planned site, a line a failed one, and where the results are."""
    monkeypatch.setattr(sys, "argv", ["swalekit", "batch", str(table), "--out", str(tmp_path / "batch")])
    with pytest.raises(SystemExit):
        run()
    lines = capsys.readouterr().out.splitlines()
    assert [line.split()[0] for line in lines[2:]] == ["dry", "wet", "wide", "cautions:", "nowhere:", "bare:", "3"]
    assert lines[3].split()[4:6] == ["71.2", "70.0"]
    assert lines[-1] == f"3 of 5 sites planned; results in {tmp_path / 'batch'}"
