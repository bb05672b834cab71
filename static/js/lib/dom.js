// The few DOM helpers that every module shares.

export function all(selector, root = document) {
  return Array.from(root.querySelectorAll(selector));
}

export function one(selector, root = document) {
  return root.querySelector(selector);
}

// Builds an element: make("button", { type: "button", class: "x" }, "Words", child).
export function make(name, attributes = {}, ...children) {
  const element = document.createElement(name);
  for (const [key, value] of Object.entries(attributes)) {
    if (value === true) element.setAttribute(key, "");
    else if (value !== false && value != null) element.setAttribute(key, value);
  }
  element.append(...children);
  return element;
}

// Delegated listener: one per page, also for what is added later.
export function on(type, selector, handle, root = document) {
  root.addEventListener(type, (event) => {
    const target = event.target instanceof Element && event.target.closest(selector);
    if (target && root.contains(target)) handle(event, target);
  });
}

// Says something to a screen reader without moving the focus.
export function say(words) {
  let place = one("[data-said]");
  if (!place) {
    place = make("p", { class: "unseen", role: "status", "data-said": true });
    document.body.append(place);
  }
  place.textContent = "";
  requestAnimationFrame(() => { place.textContent = words; });
}

export function stored(key, value) {
  try {
    if (value === undefined) return localStorage.getItem(key);
    if (value === null) localStorage.removeItem(key);
    else localStorage.setItem(key, value);
  } catch {
    // No storage, no memory: the control still works for this page.
  }
  return value ?? null;
}
