// Which screen stands at which address below /field. Each comes with its first use, so that
// the first one need not wait for all; the others follow when the phone has nothing to do.

const VISIT = "/v/:visit";
const STOP = `${VISIT}/s/:stop`;
const PANEL = `${VISIT}/p/:enclosure`;

export const SCREENS = [
  { path: "/", load: () => import("./screens/day.js") },
  { path: "/settings", load: () => import("./screens/settings.js") },
  { path: "/room", load: () => import("./screens/room.js") },
  { path: "/sync", load: () => import("./screens/sync.js") },
  { path: VISIT, load: () => import("./screens/route.js") },
  { path: `${VISIT}/begin`, load: () => import("./screens/begin.js") },
  { path: `${VISIT}/ready`, load: () => import("./screens/ready.js") },
  { path: `${VISIT}/arrival`, load: () => import("./screens/arrival.js") },
  { path: `${VISIT}/sync`, load: () => import("./screens/sync.js") },
  { path: `${VISIT}/conflicts`, load: () => import("./screens/conflicts.js") },
  { path: `${VISIT}/kept`, load: () => import("./screens/kept.js") },
  { path: `${VISIT}/copy`, load: () => import("./screens/copy.js") },
  { path: `${VISIT}/covered`, load: () => import("./screens/covered.js") },
  { path: `${VISIT}/door`, load: () => import("./screens/door.js") },
  { path: `${VISIT}/door/change`, load: () => import("./screens/change.js") },
  { path: `${VISIT}/door/paid`, load: () => import("./screens/paid.js") },
  { path: `${VISIT}/door/sign/:client`, load: () => import("./screens/sign.js") },
  { path: `${VISIT}/means`, load: () => import("./screens/means.js") },
  { path: `${VISIT}/passages`, load: () => import("./screens/passages.js") },
  { path: `${VISIT}/photos`, load: () => import("./screens/contact.js") },
  { path: `${VISIT}/photo/:rec`, load: () => import("./screens/photo.js") },
  { path: `${VISIT}/bring`, load: () => import("./screens/bring.js") },
  { path: `${VISIT}/runners`, load: () => import("./screens/runners.js") },
  { path: `${VISIT}/as-left`, load: () => import("./screens/as_left.js") },
  { path: `${VISIT}/stops`, load: () => import("./screens/stops.js") },
  { path: `${VISIT}/stops/add`, load: () => import("./screens/add_stop.js") },
  { path: `${VISIT}/leave`, load: () => import("./screens/leave.js") },
  { path: `${VISIT}/talk`, load: () => import("./screens/talk.js") },
  { path: `${VISIT}/r/:rec`, load: () => import("./screens/record.js") },
  { path: PANEL, load: () => import("./screens/panel.js") },
  { path: `${PANEL}/facts`, load: () => import("./screens/panel_facts.js") },
  { path: `${PANEL}/labels`, load: () => import("./screens/panel_labels.js") },
  { path: `${PANEL}/n/:number`, load: () => import("./screens/space.js") },
  { path: STOP, load: () => import("./screens/stop.js") },
  { path: `${STOP}/i/:item`, load: () => import("./screens/item.js") },
  { path: `${STOP}/leave`, load: () => import("./screens/leave_stop.js") },
  { path: `${STOP}/add`, load: () => import("./screens/add_stop.js") },
  { path: `${STOP}/limit`, load: () => import("./screens/limit.js") },
  { path: `${STOP}/hazard`, load: () => import("./screens/hazard.js") },
  { path: `${STOP}/note`, load: () => import("./screens/note.js") },
  { path: `${STOP}/finding`, load: () => import("./screens/finding.js") },
  { path: `${STOP}/receptacles/:rec`, load: () => import("./screens/receptacle.js") },
];

const LOADED = new Map();

// The screen of a route: at once where it has come already, else a promise of it.
export function screenOf(route) {
  if (!LOADED.has(route.path)) {
    LOADED.set(route.path, route.load().then((module) => {
      LOADED.set(route.path, module.default);
      return module.default;
    }));
  }
  return LOADED.get(route.path);
}

export async function loadAll() {
  for (const route of SCREENS) await screenOf(route);
}
