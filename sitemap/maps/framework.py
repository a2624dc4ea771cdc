"""Names that belong to others: inner names of the page framework and of the map component, which no release promises.

They stand here and nowhere else in the program. `tests/browser/test_walk.py` looks for each of them on the real
pages, so that after an update one test says which of them is gone.
"""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

MAP_STORE = "__GLOBAL_DATA__"  # what the map component remembers, in the window of its frame


def _id(name: str) -> str:
    return f'[data-testid="{name}"]'


# Our word → selector. In a style sheet the word stands after a dollar sign.
PARTS: Mapping[str, str] = MappingProxyType(
    {
        "app": _id("stApp"),
        "main": _id("stMain"),
        "map_frame": 'iframe[title="streamlit_folium.st_folium"]',
        "alert": _id("stAlert"),
        "uploader": _id("stFileUploaderDropzone"),
        "header": _id("stHeader"),
        "element": _id("stElementContainer"),
        "wrapper": _id("stLayoutWrapper"),
        "column": _id("stColumn"),
        "block": _id("stVerticalBlock"),
        "row": _id("stHorizontalBlock"),
        "caption": _id("stCaptionContainer"),
        "anchor": _id("stHeaderActionElements"),
        "help": _id("stTooltipHoverTarget") + " button",
        "chart": _id("stVegaLiteChart"),
        "toolbar": _id("stElementToolbar"),
        "tags": _id("stMultiSelect"),
        "button": '[data-testid^="stBaseButton"]',
        "popover_button": _id("stPopoverButton"),
        "page_link": _id("stPageLink-NavLink"),
        "menu_link": _id("stSidebarNavLink"),
        "menu_list": _id("stSidebarNavItems"),
        "menu_here": _id("stSidebarNavLink") + '[aria-current="page"]',
        "button_group": _id("stButtonGroup"),
        "radio": _id("stRadioOption"),
        "select_box": _id("stSelectbox"),
        "multiselect": _id("stMultiSelect"),
        "text_input": _id("stTextInputRootElement"),
        "widget_label": _id("stWidgetLabel"),
        "spoken": ".stMarkdownColoredText",  # in the words of a button
        "sidebar": _id("stSidebar"),
        "open_sidebar": _id("stSidebar") + '[data-collapsed="false"]',
        "sidebar_close": _id("stSidebarCollapseButton") + " button",
    }
)

DIALOG_CLOSE = _id("stDialog") + " button"  # of the framework's own word about a lost connection

# Our word → attribute of the app in which the framework says how it stands.
APP_STATES: Mapping[str, str] = MappingProxyType(
    {"connection": "data-test-connection-state", "running": "data-test-script-state"}
)
