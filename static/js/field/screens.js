// Which screen stands at which address below /field.
import Day from "./screens/day.js";
import Route from "./screens/route.js";
import Begin from "./screens/begin.js";
import Stop from "./screens/stop.js";
import Item from "./screens/item.js";
import OneRecord from "./screens/record.js";
import SyncState from "./screens/sync.js";
import Settings from "./screens/settings.js";

export const SCREENS = [
  { path: "/", screen: Day },
  { path: "/settings", screen: Settings },
  { path: "/sync", screen: SyncState },
  { path: "/v/:visit", screen: Route },
  { path: "/v/:visit/begin", screen: Begin },
  { path: "/v/:visit/sync", screen: SyncState },
  { path: "/v/:visit/r/:rec", screen: OneRecord },
  { path: "/v/:visit/s/:stop", screen: Stop },
  { path: "/v/:visit/s/:stop/i/:item", screen: Item },
];
