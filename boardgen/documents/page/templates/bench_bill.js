// Lights a line of the bill and its parts on the board together.
(() => {
  const rows = [...document.querySelectorAll("tr[data-refs]")];
  const parts = [...document.querySelectorAll("[data-ref]")];
  const refsOf = (row) => row.dataset.refs.split(" ");
  const light = (row, ref) => {
    const refs = new Set(row ? (ref ? [ref] : refsOf(row)) : []);
    for (const part of parts) part.classList.toggle("lit", refs.has(part.dataset.ref));
    for (const one of rows) {
      one.classList.toggle("lit", one === row);
      one.querySelector("button").setAttribute("aria-pressed", one === row);
    }
    const name = row ? row.querySelector("button").textContent + ": " : "";
    document.getElementById("said").textContent = name + [...refs].join(" ") || "\u00a0";
  };
  for (const row of rows) {
    row.querySelector("button").addEventListener("click", () => light(row.classList.contains("lit") ? null : row));
  }
  for (const part of parts) {
    part.addEventListener("click", () => {
      const row = rows.find((one) => refsOf(one).includes(part.dataset.ref));
      light(row, part.dataset.ref);
      row.scrollIntoView({ block: "nearest" });
    });
  }
  const fade = () => {
    const soldered = rows.filter((row) => row.querySelector('[data-tick^="in "]').checked).flatMap(refsOf);
    for (const part of parts) part.classList.toggle("done", soldered.includes(part.dataset.ref));
  };
  document.addEventListener("ticked", fade);
  document.addEventListener("keydown", (key) => { if (key.key === "Escape") light(null); });
  fade();
})();
