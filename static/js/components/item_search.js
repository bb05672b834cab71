// A stop's items by typing two letters: the list follows each letter, also without a network.
import { all, make, one } from "../lib/dom.js";
import { found } from "../lib/near.js";

export function startItemSearch(form = one("form[data-item-search]")) {
  if (!form) return;
  const input = one("input[type=search]", form);
  const place = one(`#${form.dataset.itemSearch}`);
  const told = make("p", { class: "small quiet", role: "status" });
  form.append(told);
  const show = () => {
    const typed = input.value.trim();
    const items = all("[data-item]", place);
    const meant = new Set(found(items.map((item) => item.dataset.item), typed));
    for (const item of items) item.hidden = !meant.has(item.dataset.item);
    const narrowed = items.some((item) => item.hidden);
    for (const group of all("details", place)) {
      const left = all("[data-item]", group).some((item) => !item.hidden);
      group.hidden = narrowed && !left;
      group.open = narrowed && left;
    }
    const shown = items.filter((item) => !item.hidden).length;
    told.textContent = narrowed ? `${shown} of ${items.length} items` : "";
  };
  input.addEventListener("input", show);
  // What is found needs no round trip: the first one is opened.
  form.addEventListener("submit", (event) => {
    const links = all("[data-item]", place).filter((item) => !item.hidden).map((item) => one("a", item));
    if (input.value.trim().length < 2 || !links.length) return;
    event.preventDefault();
    links[0].focus();
  });
  if (input.value) show();
}
