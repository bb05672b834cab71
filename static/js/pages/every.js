// What every page starts; each part finds its own marks and does nothing without them.
import { startBeat } from "../components/beat.js";
import { startDifferences } from "../components/difference.js";
import { startItemSearch } from "../components/item_search.js";
import { startKeys } from "../components/keys.js";
import { startKeptWords } from "../components/kept_words.js";
import { startLiveRemarks } from "../components/live_remarks.js";
import { startNumberPads } from "../components/number_pad.js";
import { startPhotoFirst } from "../components/photo_first.js";
import { startPhotoMarks } from "../components/photo_marks.js";
import { startPhotoZoom } from "../components/photo_zoom.js";
import { startPhrases } from "../components/phrases.js";
import { startRefresh } from "../components/refresh.js";
import { startSteadyTaps } from "../components/steady_taps.js";
import { startSteppers } from "../components/stepper.js";
import { startThemeSwitch } from "../components/theme_switch.js";
import { startUndo } from "../components/undo.js";

startThemeSwitch();
startSteadyTaps();
startSteppers();
startNumberPads();
startDifferences();
startItemSearch();
startKeptWords();
startLiveRemarks();
startUndo();
startPhotoFirst();
startPhrases();
startPhotoZoom();
startPhotoMarks();
startRefresh();
startBeat();
startKeys();
document.querySelector("[data-focus-first]")?.focus();
document.addEventListener("kingpost:swapped", (event) => {
  startSteppers(event.detail);
  startNumberPads(event.detail);
});
