"use strict";
(() => {
  const data = JSON.parse(document.getElementById("speeds").textContent);
  const reader = document.getElementById("reader");
  const block = document.getElementById("block");
  const at = document.getElementById("at");
  const read = document.getElementById("read");
  const rows = document.querySelectorAll("tr[data-block]");
  const clock = (s) => {
    const two = (n) => String(n).padStart(2, "0");
    const [h, m] = [Math.floor(s / 3600), Math.floor(s / 60) % 60];
    return (h ? h + ":" + two(m) : m) + ":" + two(s % 60);
  };
  const show = () => {
    const s = Number(at.value);
    const v = data.speeds[s];
    const written = (unit) => {
      const [value, low, high] = v.map((n) => (n * unit.times).toFixed(unit.decimals));
      return `${value} ${unit.sign} (95 %: ${low} to ${high})`;
    };
    const text = v ? data.units.map(written).join(", ") : "not recorded";
    read.textContent = clock(s) + ": " + text;
    at.setAttribute("aria-valuetext", read.textContent);
  };
  const choose = () => {
    const chosen = data.blocks.find((b) => String(b.index) === block.value);
    at.min = chosen ? Math.floor(chosen.start_s) : 0;
    at.max = chosen ? Math.ceil(chosen.end_s) : data.speeds.length - 1;
    at.value = at.min;
    for (const row of rows) {
      row.hidden = block.value !== "" && row.dataset.block !== block.value;
    }
    show();
  };
  at.addEventListener("input", show);
  block.addEventListener("change", choose);
  reader.hidden = false;
  choose();
})();
