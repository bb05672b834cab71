// Ready for the basement? What this phone needs before the signal goes; each answer is
// {name, good, words}. A red one says the risk and forbids nothing.
import { sha256Hex } from "./net.js";
import { PHOTO } from "./room.js";
import { count } from "./words.js";
import { workerWhole } from "./updates.js";

const TEST_BYTES = 5 * 1024 * 1024;
const ROOM = 3 * 1024 ** 3;
const CLOCK_OFF = 5; // minutes

export async function checks(app, visit) {
  const token = await app.session.fresh();
  return [
    await theWorker(), thePackage(visit), installed(), await persisted(), await room(), await storage(app),
    signedIn(app, token), clock(app), await unsent(app, visit), await battery(),
  ].filter(Boolean);
}

async function theWorker() {
  const whole = await workerWhole();
  const good = Boolean(whole) && whole.missing === 0;
  return { name: "Opens without a signal", good, words: good ? `${count(whole.files, "file")} of this version are on the phone.` : "Close this app and open it once more while there is a signal." };
}

function thePackage(visit) {
  const good = Boolean(visit.book?.rules && visit.pack?.visit);
  return { name: "This visit is on the phone", good, words: good ? "Property, route, rules, passages and the state's standard are here." : "Go to the day's list and fetch the day." };
}

function installed() {
  const good = matchMedia("(display-mode: standalone)").matches;
  return { name: "On the home screen", good, words: good ? "Its data is kept apart from the browser's." : "Add it to the home screen: a browser may clear what a page keeps. Work begun here is not in the home screen's app." };
}

async function persisted() {
  const good = (await navigator.storage?.persist?.().catch(() => false)) === true;
  return { name: "The phone keeps what is saved", good, words: good ? "The browser has promised not to clear it by itself." : "The browser made no promise. Send often, and do not clear site data." };
}

async function room() {
  const { quota = 0, usage = 0 } = (await navigator.storage?.estimate?.()) ?? {};
  const photos = Math.floor((quota - usage) / PHOTO);
  const good = quota - usage >= ROOM;
  return { name: "Room", good, words: `${good ? "Enough" : "Little room"}: about ${count(photos, "more picture")}.${good ? "" : " Free some before you start."}` };
}

// A real write, read, hash and delete: private windows fail here and nowhere earlier.
async function storage(app) {
  try {
    const bytes = crypto.getRandomValues(new Uint8Array(65536));
    const whole = new Uint8Array(TEST_BYTES);
    for (let at = 0; at < TEST_BYTES; at += bytes.length) whole.set(bytes, at);
    const before = await sha256Hex(whole.buffer);
    await app.store.tx(true, (tx) => tx.put("things", ["test"], whole.buffer));
    const after = await sha256Hex(await app.store.tx(false, (tx) => tx.get("things", ["test"])));
    await app.store.tx(true, (tx) => tx.put("things", ["test"], null));
    const good = before === after;
    return { name: "Writing works", good, words: good ? "5 MB written, read back and compared." : "What was written came back different. Do not work on this phone." };
  } catch (error) {
    return { name: "Writing works", good: false, words: `Nothing could be saved (${error.message}). Leave the private window, or free some room.` };
  }
}

function signedIn(app, token) {
  const good = Boolean(token);
  return { name: "Signed in", good, words: good ? `As ${app.session.who.peek().name}.` : "Sign in while there is a signal, or what you enter waits on the phone until you do." };
}

function clock(app) {
  const off = app.session.clockOff;
  if (off === undefined || off === null) return null;
  const good = Math.abs(off) <= CLOCK_OFF;
  return { name: "Clock", good, words: good ? "As the server's." : `It is ${Math.abs(off)} minutes ${off > 0 ? "ahead" : "behind"}. Nothing is lost by that; only the times shown are off.` };
}

async function unsent(app, visit) {
  let waits = 0;
  for (const one of await app.everyVisit()) if (one.id !== visit.id) waits += one.outbox.waiting().length;
  return { name: "Earlier visits are sent", good: waits === 0, words: waits ? `${count(waits, "entry", "entries")} of other visits wait. Send them first.` : "Nothing waits." };
}

async function battery() {
  const held = await navigator.getBattery?.().catch(() => null);
  if (!held) return { name: "Battery", good: true, words: "Three hours with the camera take most of a charge: bring a power bank." };
  const good = held.charging || held.level >= 0.6;
  return { name: "Battery", good, words: `${Math.round(held.level * 100)} %. ${good ? "A power bank is still a good thing to have." : "Charge it, or bring a power bank."}` };
}
