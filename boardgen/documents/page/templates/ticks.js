// Keeps the ticks and readings of a page in this browser, by the title and revision that its body bears. Without a
// store they last as long as the page.
(() => {
  const store = "ticks: " + document.body.dataset.board;
  const fields = [...document.querySelectorAll("main input")];
  // a field is called by its name, or by what stands beside it and above it
  const nameOf = (field) => {
    if (field.dataset.tick) return field.dataset.tick;
    const group = field.closest(".group"), above = group ? group.firstElementChild.textContent : "";
    const beside = field.getAttribute("aria-label") || field.parentNode.textContent;
    return [field.closest("section[id]").id, above, beside].join(": ");
  };
  const names = fields.map(nameOf);
  const valueOf = (field) => (field.type === "checkbox" ? field.checked : field.value);
  const show = (kept) => fields.forEach((field, n) => {
    if (field.type === "checkbox") field.checked = Boolean(kept[names[n]]);
    else field.value = kept[names[n]] || "";
  });
  const kept = () => { try { return JSON.parse(localStorage.getItem(store)) || {}; } catch { return {}; } };
  const keep = () => {
    const given = names.map((name, n) => [name, valueOf(fields[n])]).filter(([, value]) => value);
    try { localStorage.setItem(store, JSON.stringify(Object.fromEntries(given))); } catch { /* a browser may refuse */ }
    document.dispatchEvent(new Event("ticked"));
  };
  show(kept());
  for (const field of fields) field.addEventListener("input", keep);
  // the same page in another window
  addEventListener("storage", (event) => { if (event.key === store) show(kept()); });
  document.getElementById("clear").addEventListener("click", () => {
    if (!confirm("Clear all ticks and readings of " + document.body.dataset.board + "?")) return;
    show({});
    keep();
  });
})();
