// Keeps the ticks of a page in this browser, by the title and revision that its body bears. Without a store they last
// as long as the page.
(() => {
  const store = "ticks: " + document.body.dataset.board;
  const boxes = [...document.querySelectorAll("input[data-tick]")];
  const kept = () => { try { return JSON.parse(localStorage.getItem(store)) || []; } catch { return []; } };
  const keep = () => {
    const names = boxes.filter((box) => box.checked).map((box) => box.dataset.tick);
    try { localStorage.setItem(store, JSON.stringify(names)); } catch { /* a browser may refuse */ }
    document.dispatchEvent(new Event("ticked"));
  };
  const names = new Set(kept());
  for (const box of boxes) {
    box.checked = names.has(box.dataset.tick);
    box.addEventListener("change", keep);
  }
  document.getElementById("clear").addEventListener("click", () => {
    if (!confirm("Clear all ticks of " + document.body.dataset.board + "?")) return;
    for (const box of boxes) box.checked = false;
    keep();
  });
})();
