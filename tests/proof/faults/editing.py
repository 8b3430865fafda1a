"""What an editor of PDF files could do to a finished file."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from types import MappingProxyType

import pikepdf

from tests.proof.faults import hiding


def _annotate(file: pikepdf.Pdf) -> None:
    note = pikepdf.Dictionary(Type=pikepdf.Name.Annot, Subtype=pikepdf.Name.Square, Rect=[50, 50, 300, 300])
    file.pages[0].Annots = file.make_indirect(pikepdf.Array([file.make_indirect(note)]))


def _script(file: pikepdf.Pdf) -> None:
    file.Root.OpenAction = pikepdf.Dictionary(S=pikepdf.Name.JavaScript, JS=pikepdf.String("app.beep(0)"))


def _named_script(file: pikepdf.Pdf) -> None:
    file.Root.Names.JavaScript = pikepdf.Dictionary(Names=pikepdf.Array([]))


def _layer(file: pikepdf.Pdf) -> None:
    group = file.make_indirect(pikepdf.Dictionary(Type=pikepdf.Name.OCG, Name=pikepdf.String("layer")))
    file.Root.OCProperties = pikepdf.Dictionary(OCGs=[group], D=pikepdf.Dictionary(OFF=[group]))


def _layer_on_page(file: pikepdf.Pdf) -> None:
    file.pages[0].Resources.Properties = pikepdf.Dictionary()


def _picture(file: pikepdf.Pdf) -> None:
    file.pages[0].Resources.XObject = pikepdf.Dictionary()


def _attach(file: pikepdf.Pdf) -> None:
    file.attachments["other.txt"] = pikepdf.AttachedFileSpec(file, b"another")


def _other_specification(file: pikepdf.Pdf) -> None:
    name = next(iter(file.attachments))
    del file.attachments[name]
    file.attachments[name] = pikepdf.AttachedFileSpec(file, b"[rotor]\n", filename=name)


def _hide(file: pikepdf.Pdf) -> None:
    content = file.pages[0].Contents.read_bytes()
    file.pages[0].Contents = file.make_stream(b"3 Tr\n" + content)


#: What can be done to a file, by a few words for it.
IN_FILES: Mapping[str, Callable[[pikepdf.Pdf], None]] = MappingProxyType(
    {
        **hiding.EDITS,
        "turned": lambda file: setattr(file.pages[0], "Rotate", 90),
        "upside down": lambda file: setattr(file.pages[0], "Rotate", 180),
        "user unit": lambda file: setattr(file.pages[0], "UserUnit", 2),
        "cropped": lambda file: setattr(file.pages[0], "CropBox", pikepdf.Array([0, 0, 200, 200])),
        "annotation": _annotate,
        "script": _script,
        "named script": _named_script,
        "form": lambda file: setattr(file.Root, "AcroForm", pikepdf.Dictionary(Fields=[])),
        "page action": lambda file: setattr(file.pages[0], "AA", pikepdf.Dictionary()),
        "layer": _layer,
        "layer on a page": _layer_on_page,
        "picture": _picture,
        "attachment": _attach,
        "another specification": _other_specification,
        "invisible words": _hide,
        "without its last page": lambda file: file.pages.__delitem__(len(file.pages) - 1),
    }
)
