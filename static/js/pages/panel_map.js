// Painting: a tapped space shows at once what it will hold, and the main key says how many.
import { all, one, say } from "../lib/dom.js";

function brushWords(form) {
  const brush = one('[name="brush"]:checked', form);
  if (!brush) return "";
  if (brush.value !== "other") return one("span", brush.parentElement).textContent.trim();
  const amps = one('[name="amps"]', form).value.trim();
  const size = one('[name="size"]', form).value;
  const metal = one('[name="material"]', form);
  const words = metal.value ? metal.selectedOptions[0].textContent : "";
  return [amps && `${amps} A`, [size, words].filter(Boolean).join(" ")].filter(Boolean).join(" · ");
}

function startPaint(form) {
  const send = one("[data-paint-send]", form);
  const boxes = all('[name="space"]', form);
  const values = new Map(boxes.map((box) => {
    const place = one("[data-space-value]", box.parentElement);
    const wire = one("[data-space-wire]", box.parentElement);
    return [box, { place, wire, before: place.textContent }];
  }));

  function show() {
    const words = brushWords(form);
    let chosen = 0;
    for (const box of boxes) {
      const { place, wire, before } = values.get(box);
      place.textContent = box.checked && words ? words : before;
      if (wire) wire.hidden = Boolean(box.checked && words);
      chosen += Number(box.checked);
    }
    const spaces = chosen === 1 ? "1 space" : `${chosen} spaces`;
    send.textContent = chosen && words ? `Write ${words} to ${spaces}` : "Choose a brush, then spaces";
    return { words, chosen };
  }

  form.addEventListener("change", (event) => {
    const { words, chosen } = show();
    if (event.target.name === "space") say(words ? `${chosen} chosen for ${words}` : `${chosen} chosen`);
  });
  form.addEventListener("input", show);
  startSweep(boxes);
  show();
}

// Arrow keys walk the drawing: up and down in a column, left and right across the bus.
function startSweep(boxes) {
  const columns = new Map();
  for (const box of boxes) {
    const column = box.closest(".panel__column");
    if (!columns.has(column)) columns.set(column, []);
    columns.get(column).push(box);
  }
  const order = [...columns.values()];
  for (const box of boxes) {
    box.addEventListener("keydown", (event) => {
      const at = order.findIndex((column) => column.includes(box));
      const row = order[at].indexOf(box);
      const target = {
        ArrowUp: order[at][row - 1],
        ArrowDown: order[at][row + 1],
        ArrowLeft: order[at - 1]?.[row],
        ArrowRight: order[at + 1]?.[row],
      }[event.key];
      if (!target) return;
      event.preventDefault();
      target.focus();
    });
  }
}

const form = one("form[data-paint]");
if (form) startPaint(form);
