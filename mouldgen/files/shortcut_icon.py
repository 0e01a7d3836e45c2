"""The picture of the shortcut: an insert that stands in its mould, cut open."""

from mouldgen.files.own_files import MARK

ICON = f"""\
<svg xmlns="http://www.w3.org/2000/svg" width="128" height="128" viewBox="0 0 128 128">
<!-- {MARK} -->
<rect x="4" y="4" width="120" height="120" rx="14" fill="#fffdf6"/>
<path d="M34 44h60v60H34z" fill="#7fb2b8"/>
<path d="M54 24h20v76H54z" fill="#d8b27a"/>
<path d="M60 28v68M67 34v62" stroke="#a8814a" stroke-width="2"/>
<path d="M24 34h10v66h60V34h10v76H24z" fill="#3a3a38"/>
</svg>
"""
