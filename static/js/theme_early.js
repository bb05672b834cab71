// Runs before the first paint, so that a chosen theme does not flash the other one.
(function () {
  try {
    const theme = localStorage.getItem("kingpost-theme");
    const hand = localStorage.getItem("kingpost-hand");
    if (theme === "light" || theme === "dark") document.documentElement.dataset.theme = theme;
    if (hand === "left") document.documentElement.dataset.hand = "left";
  } catch {
    // Storage may be switched off: the page then follows the device.
  }
})();
