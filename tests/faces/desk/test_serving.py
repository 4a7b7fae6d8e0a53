"""The command itself, as a process: a link on loopback, one desk that writes, an orderly end."""

import re
import signal
import socket
import subprocess
import sys
import time
from contextlib import contextmanager

import httpx
import pytest

from layshaft.faces.desk.serving import LOOPBACK

RADIUS = {"path": "drives.pedals.radius", "value": "150 mm", "back": "/"}


@contextmanager
def opened(folder, *words):
    """`layshaft open`, running: the process and what it printed up to the line that says how to stop it."""
    command = [sys.executable, "-m", "layshaft", "open", str(folder), "--no-browser", *words]
    process = subprocess.Popen(command, stdout=subprocess.PIPE, stderr=subprocess.STDOUT, text=True)
    try:
        said = ""
        while "Ctrl-C" not in said:
            line = process.stdout.readline()
            assert line, said
            said += line
        yield process, said
    finally:
        process.kill()
        process.wait()
        process.stdout.close()


def ask(link, again=20):
    """The page behind a link, as soon as it answers."""
    for _ in range(again):
        try:
            return httpx.get(link, follow_redirects=True, trust_env=False, timeout=20)
        except httpx.ConnectError:
            time.sleep(0.1)
    pytest.fail(f"{link} does not answer")


def link_in(said):
    return re.search(r"http://\S+", said).group()


def test_open_prints_a_link_on_loopback_and_stops_in_order(copy):
    with opened(copy("hand-grinder")) as (process, said):
        link = link_in(said)
        assert link.startswith(f"http://{LOOPBACK}:") and "?key=" in link
        assert ask(link).status_code == 200
        process.send_signal(signal.SIGINT)
        assert process.wait(10) in (0, 130, -signal.SIGINT)
        assert "Traceback" not in process.stdout.read()


def test_two_starts_have_two_secrets_and_the_second_desk_only_reads(copy):
    folder = copy("hand-grinder")
    with opened(folder) as (first, said), opened(folder) as (_, other):
        assert link_in(said).partition("key=")[2] != link_in(other).partition("key=")[2]
        assert "only reads" in other and f"process {first.pid}" in other
        page = ask(link_in(other)).text
        assert "This desk only reads." in page and ">Keep<" not in page
    with opened(folder) as (_, said):
        assert "only reads" not in said


def test_a_read_only_desk_refuses_every_write(copy):
    folder = copy("hand-grinder")
    with opened(folder), opened(folder) as (_, said), httpx.Client(follow_redirects=True, trust_env=False) as caller:
        ask(link_in(said))
        page = caller.get(link_in(said))
        origin = str(page.url).rstrip("/")
        answer = caller.post(f"{origin}/edit", data=RADIUS, headers={"origin": origin})
        assert "only reads" in answer.text and "Changed, not kept" not in answer.text


def refused(*words):
    done = subprocess.run([sys.executable, "-m", "layshaft", "open", "--no-browser", *words], capture_output=True,
                          text=True, timeout=60)
    assert done.returncode == 2 and "Traceback" not in done.stderr
    return done.stderr


def test_what_cannot_be_opened_is_said_in_a_sentence(copy):
    assert "is not there" in refused("nowhere")
    with socket.socket() as taken:
        taken.bind((LOOPBACK, 0))
        taken.listen()
        assert "cannot be had" in refused(str(copy("hand-grinder")), "--port", str(taken.getsockname()[1]))
