"""Whether every link of a folder of pages leads somewhere in it, and nothing is fetched from elsewhere:
python3 notebooks/site/check_links.py FOLDER"""

import re
import sys
from html.parser import HTMLParser
from pathlib import Path
from urllib.parse import unquote, urlsplit

FETCHED = {
    ("img", "src"),
    ("script", "src"),
    ("link", "href"),
    ("iframe", "src"),
    ("source", "src"),
    ("object", "data"),
}


class Page(HTMLParser):
    """The names a page can be entered at, and where it points."""

    def __init__(self, path):
        super().__init__()
        self.names, self.links, self.fetched = set(), [], []
        self.feed(path.read_text())

    def handle_starttag(self, tag, attributes):
        for name, value in attributes:
            if name == "id" or (tag, name) == ("a", "name"):
                self.names.add(value)
            elif (tag, name) in FETCHED:
                self.fetched.append(value)
            elif (tag, name) == ("a", "href"):
                self.links.append(value)


def wrong_links(folder):
    pages = {path.resolve(): Page(path) for path in folder.rglob("*.html")}
    for path, page in pages.items():
        for link in page.links + page.fetched:
            parts = urlsplit(link)
            if parts.scheme in ("data", "javascript") or (parts.scheme and link not in page.fetched):
                continue
            target = (path.parent / unquote(parts.path)).resolve() if parts.path else path
            if parts.scheme or parts.netloc:
                yield path, link, "is fetched from elsewhere"
            elif not target.is_relative_to(folder.resolve()) or not target.is_file():
                yield path, link, "is not there"
            elif parts.fragment == "nested-classes":  # doxygen's heading over classes that are private
                pass
            elif parts.fragment and target in pages and unquote(parts.fragment) not in pages[target].names:
                yield path, link, "has no such place"
    for path in folder.rglob("*.css"):
        for link in re.findall(r"url\(['\"]?([^'\")]+)", path.read_text()):
            if urlsplit(link).scheme != "data" and not (path.parent / re.sub(r"[?#].*", "", link)).is_file():
                yield path, link, "is not there"


folder = Path(sys.argv[1])
found = [f"{path.relative_to(folder.resolve())}: {link} {why}" for path, link, why in wrong_links(folder)]
print("\n".join(found[:40]), file=sys.stderr, end="\n" if found else "")
sys.exit(bool(found))
