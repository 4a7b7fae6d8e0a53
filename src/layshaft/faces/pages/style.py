"""The one style sheet of all pages: ink on paper, one warm accent, no colour that carries a meaning alone."""

STYLE = """
:root{--ink:#1d2530;--soft:#566170;--rule:#c3c8cf;--faint:#eef0f2;--paper:#fff;--steel:#dfe4e9;--slate:#3c566e;
--rust:#8f3f17;--serif:"Charter","Bitstream Charter","Iowan Old Style","Palatino Linotype","Palatino",Cambria,
"Liberation Serif",Georgia,serif;--sans:system-ui,-apple-system,"Segoe UI","Noto Sans","Liberation Sans",sans-serif}
*{box-sizing:border-box}
html{-webkit-text-size-adjust:100%}
body{margin:0;background:var(--paper);color:var(--ink);font:16px/1.5 var(--serif)}
main,header.cover,nav.contents{max-width:47rem;margin:0 auto;padding:0 1.25rem}
.plate{margin:1.5rem 0 2.2rem}
.plate figcaption{font-size:.86rem;color:var(--soft);border-top:1px solid var(--rule);padding-top:.4rem;margin-top:.5rem}
.plate figcaption b{color:var(--ink)}
.scroll{overflow-x:auto}
.ratio{white-space:nowrap}
svg.drawing{display:block;width:100%;min-width:40rem;height:auto;font-family:var(--sans)}
.drawing text{fill:var(--ink);font-size:10.5px}
.drawing text.d-name{font-weight:700;font-size:11px}
.drawing text.d-strong{font-weight:600}
.drawing .d-text{fill:var(--soft)}
.drawing .d-text.d-strong{fill:var(--ink)}
.d-leader{fill:none;stroke:var(--soft);stroke-width:.5}
.d-dot{fill:var(--ink)}
.d-shaft{fill:var(--steel);stroke:var(--ink);stroke-width:.9}
.d-open{stroke-dasharray:3 2.5;fill:none}
.d-wheel{fill:none;stroke:var(--slate);stroke-width:.8}
.d-sprocket,.d-gear,.d-bevel{stroke-dasharray:9 2 2 2}
polygon.d-wheel{fill:var(--paper);stroke-dasharray:none}
.d-swept,.d-track,.d-handle{stroke-dasharray:2 3;stroke:var(--soft)}
polygon.d-swept,polygon.d-track,polygon.d-handle{fill:none;stroke-dasharray:2 3}
.d-disc{stroke-width:1.1}
.d-bearing{fill:var(--paper);stroke:var(--ink);stroke-width:.8}
.d-cross{stroke:var(--ink);stroke-width:.5}
.d-hub{fill:var(--paper);stroke:var(--slate);stroke-width:.9}
.d-strand{stroke:var(--ink);stroke-width:.6}
.d-tight{stroke-width:2.1}
.d-block{fill:var(--steel);stroke:var(--ink);stroke-width:.9}
.d-after{fill:none;stroke-dasharray:4 3}
.d-measure,.d-axis,.d-scale{fill:none;stroke:var(--ink);stroke-width:.7}
.d-head{fill:var(--ink)}
.d-frame{fill:none;stroke:var(--soft);stroke-width:.7;stroke-dasharray:7 4}
.d-parting{stroke:var(--ink);stroke-width:1.6;stroke-dasharray:12 4 3 4}
.d-floor{stroke:var(--ink);stroke-width:1.1}
.d-centre{stroke:var(--soft);stroke-width:.5;stroke-dasharray:10 2.5 2 2.5}
.d-turn{fill:none;stroke:var(--rust);stroke-width:1.3}
.drawing .d-turn+.d-head{fill:var(--rust)}
.lane{break-inside:avoid;border-top:1px solid var(--faint);padding:.5rem 0 .3rem}
.lane:first-child{border-top:0}
.nowhere{font-style:italic}
"""
