/* What the page cannot say in HTML: late answers are thrown away, and a desk that has stopped says so. */
"use strict";
(() => {
  const sheet = () => document.getElementById("sheet");
  const number = () => Number(sheet()?.dataset.state ?? 0);
  let failures = 0, onSlip = false, writing = 0;

  // Where a browser can move an element without taking it out, Chromium 156 ends the tab if the element is a field with
  // suggestions. Without that way the morph takes it out and puts it in.
  for (const of of [Element, Document, DocumentFragment]) delete of.prototype.moveBefore;

  if (window.Idiomorph) {
    // What somebody unfolded stays unfolded; a chart that was drawn for the same numbers is not drawn again.
    Idiomorph.defaults.callbacks.beforeAttributeUpdated = (name, node) =>
      !(name === "open" && node.tagName === "DETAILS");
    Idiomorph.defaults.callbacks.beforeNodeMorphed = (old, fresh) =>
      !(old.dataset?.keep && old.dataset.keep === fresh.dataset?.keep);
  }

  document.addEventListener("htmx:beforeSwap", (event) => {
    const told = event.detail.xhr.getResponseHeader("desk-state");
    if (told !== null && Number(told) < number()) event.detail.shouldSwap = false;
    // A page that says why there is none is a page of the desk too.
    if (told !== null && event.detail.xhr.status >= 400 && Number(told) >= number()) event.detail.shouldSwap = true;
    // A field somebody is typing in keeps what was typed when another window moves the draft.
    if (window.Idiomorph) Idiomorph.defaults.ignoreActiveValue = /^(INPUT|TEXTAREA|SELECT)$/.test(document.activeElement?.tagName);
  });

  // A window told of what it shows already, or is just being sent, does not load again.
  document.addEventListener("desk-moved", (event) => {
    if (writing || event.detail.number === number()) event.stopImmediatePropagation();
  }, true);
  const counts = (by) => (event) => { if (event.detail.requestConfig?.verb === "post") writing = Math.max(0, writing + by); };
  document.addEventListener("htmx:beforeSend", counts(1));
  document.addEventListener("htmx:afterRequest", counts(-1));

  // A button of the slip goes away with what it did: whoever pressed it goes on from the slip, not from the top.
  document.addEventListener("htmx:beforeRequest", () => { onSlip = Boolean(document.activeElement?.closest(".slip")); });
  document.addEventListener("htmx:afterSettle", () => {
    if (onSlip && document.activeElement === document.body)
      (document.querySelector(".slip button") ?? document.getElementById("room")).focus({preventScroll: true});
  });

  const gone = (is) => { document.getElementById("gone").hidden = !is; };
  document.addEventListener("htmx:sendError", () => { failures += 1; gone(failures > 1); });
  document.addEventListener("htmx:responseError", (event) => { if (event.detail.xhr.status === 403) gone(true); });
  document.addEventListener("htmx:afterOnLoad", () => { failures = 0; gone(false); });
})();
