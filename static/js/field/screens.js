// Which screen stands at which address below /field.
import Arrival from "./screens/arrival.js";
import AsLeft from "./screens/as_left.js";
import Begin from "./screens/begin.js";
import Bring from "./screens/bring.js";
import Change from "./screens/change.js";
import Conflicts from "./screens/conflicts.js";
import Contact from "./screens/contact.js";
import Copy from "./screens/copy.js";
import Covered from "./screens/covered.js";
import Day from "./screens/day.js";
import Door from "./screens/door.js";
import Finding from "./screens/finding.js";
import Hazard from "./screens/hazard.js";
import Item from "./screens/item.js";
import Kept from "./screens/kept.js";
import Leave from "./screens/leave.js";
import LeaveStop from "./screens/leave_stop.js";
import Limit from "./screens/limit.js";
import Means from "./screens/means.js";
import Note from "./screens/note.js";
import OneRecord from "./screens/record.js";
import Paid from "./screens/paid.js";
import Panel from "./screens/panel.js";
import PanelFacts from "./screens/panel_facts.js";
import PanelLabels from "./screens/panel_labels.js";
import Passages from "./screens/passages.js";
import Photo from "./screens/photo.js";
import Ready from "./screens/ready.js";
import Receptacle from "./screens/receptacle.js";
import Route from "./screens/route.js";
import Runners from "./screens/runners.js";
import Settings from "./screens/settings.js";
import Sign from "./screens/sign.js";
import Space from "./screens/space.js";
import Stop from "./screens/stop.js";
import SyncState from "./screens/sync.js";
import Talk from "./screens/talk.js";

const VISIT = "/v/:visit";
const STOP = `${VISIT}/s/:stop`;
const PANEL = `${VISIT}/p/:enclosure`;

export const SCREENS = [
  { path: "/", screen: Day },
  { path: "/settings", screen: Settings },
  { path: "/sync", screen: SyncState },
  { path: VISIT, screen: Route },
  { path: `${VISIT}/begin`, screen: Begin },
  { path: `${VISIT}/ready`, screen: Ready },
  { path: `${VISIT}/arrival`, screen: Arrival },
  { path: `${VISIT}/sync`, screen: SyncState },
  { path: `${VISIT}/conflicts`, screen: Conflicts },
  { path: `${VISIT}/kept`, screen: Kept },
  { path: `${VISIT}/copy`, screen: Copy },
  { path: `${VISIT}/covered`, screen: Covered },
  { path: `${VISIT}/door`, screen: Door },
  { path: `${VISIT}/door/change`, screen: Change },
  { path: `${VISIT}/door/paid`, screen: Paid },
  { path: `${VISIT}/door/sign/:client`, screen: Sign },
  { path: `${VISIT}/means`, screen: Means },
  { path: `${VISIT}/passages`, screen: Passages },
  { path: `${VISIT}/photos`, screen: Contact },
  { path: `${VISIT}/photo/:rec`, screen: Photo },
  { path: `${VISIT}/bring`, screen: Bring },
  { path: `${VISIT}/runners`, screen: Runners },
  { path: `${VISIT}/as-left`, screen: AsLeft },
  { path: `${VISIT}/leave`, screen: Leave },
  { path: `${VISIT}/talk`, screen: Talk },
  { path: `${VISIT}/r/:rec`, screen: OneRecord },
  { path: PANEL, screen: Panel },
  { path: `${PANEL}/facts`, screen: PanelFacts },
  { path: `${PANEL}/labels`, screen: PanelLabels },
  { path: `${PANEL}/n/:number`, screen: Space },
  { path: STOP, screen: Stop },
  { path: `${STOP}/i/:item`, screen: Item },
  { path: `${STOP}/leave`, screen: LeaveStop },
  { path: `${STOP}/limit`, screen: Limit },
  { path: `${STOP}/hazard`, screen: Hazard },
  { path: `${STOP}/note`, screen: Note },
  { path: `${STOP}/finding`, screen: Finding },
  { path: `${STOP}/receptacles/:rec`, screen: Receptacle },
];
