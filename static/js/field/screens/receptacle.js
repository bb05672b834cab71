// An odd receptacle: which pairs of lamps are lit, what its protection did, what died with it.
import { html } from "../core/ui.js";
import { first } from "../core/words.js";
import { useRecord } from "../core/use_record.js";
import { Field } from "../parts/field.js";
import { Line } from "../parts/line.js";
import { Choices, Key } from "../parts/keys.js";
import { PhotoKeys } from "../parts/photo_keys.js";
import { ProposalLines } from "../parts/proposals.js";
import { Screen } from "../parts/screen.js";

const PAIRS = { hot_neutral: "hot and neutral", hot_ground: "hot and ground", neutral_ground: "neutral and ground" };
const FIRST = ["place", "receptacle_kind", "gfci_kind", "gfci_own_button_trips", "gfci_tester_trips", "gfci_resets"];
const MORE = ["contacts", "load_present", "protected_by", "circuit_space", "sink_distance_in", "behind_door", "tamper_resistant", "weather_cover", "reach_height_in", "cover"];
const SAID = ["lamps", "lamps_none", "repeated", ...FIRST, ...MORE];
const KINDS = { garage: "garage", outside: "outside", bathroom: "bathroom", half_bath: "bathroom", laundry: "laundry", kitchen: "counter" };

export default function Receptacle({ app, visit, params }) {
  visit.version.value;
  const stop = visit.rec(params.stop) ?? {};
  const back = `/v/${visit.id}/s/${params.stop}`;
  const preset = { stop: params.stop, contacts: "three", receptacle_kind: KINDS[stop.room_use ?? stop.stop_kind] ?? "general" };
  const { rec, record, save } = useRecord(app, visit, "receptacle", preset, params.rec === "new" ? null : params.rec);
  const order = app.prefs.value.tester?.split(" ") ?? Object.keys(PAIRS);
  const lit = [...order.map((one) => [one, PAIRS[one]]), ["none", "none lit"]];
  const values = record.lamps_none ? ["none"] : record.lamps ?? [];
  const pick = (picked) => {
    const none = picked.includes("none") && !values.includes("none");
    return save(none ? { lamps: [], lamps_none: true } : { lamps: picked.filter((one) => one !== "none"), lamps_none: null });
  };
  // What goes dead with a button stands behind it: said there too, unless it says otherwise.
  const dead = async (died) => {
    const own = await save({ died_with: died });
    const behind = died.filter((id) => !visit.rec(id).protected_by && id !== own);
    if (own && record.gfci_kind === "device") await app.saving(() => visit.setAll(behind.map((id) => [id, { protected_by: own }])));
  };
  const buttons = visit.of("receptacle").filter(([id, one]) => id !== rec && (one.died_with ?? []).includes(rec)).map(([id]) => id);
  // Said from the other end: written where the button is, and that this one stands behind it.
  const deadWith = (picked) => app.saving(async () => {
    for (const id of [...picked, ...buttons].filter((one) => picked.includes(one) !== buttons.includes(one))) {
      const died = visit.rec(id).died_with ?? [];
      await visit.set(id, { died_with: picked.includes(id) ? [...died, rec] : died.filter((one) => one !== rec) });
    }
    const device = picked.find((id) => visit.rec(id).gfci_kind === "device");
    if (device && !record.protected_by) await visit.set(rec, { protected_by: device });
  });
  const said = (fields) => save({ ...fields, ...(fields.lamps ? { lamps_none: null } : fields.lamps_none ? { lamps: [] } : {}) });
  const others = visit.of("receptacle").filter(([id]) => id !== rec).map(([id, one]) => [id, `${one.place ?? "?"}, ${visit.rec(one.stop)?.name ?? ""}`]);
  const fields = (names) => names.map((name) => html`<${Field} key=${name} app=${app} visit=${visit} kind="receptacle" field=${name} value=${record[name]} onSave=${(value) => save({ [name]: value })} />`);
  return html`
    <${Screen} app=${app} visit=${visit} title=${first(record.place ?? "An odd receptacle")} over=${stop.name} back=${back}
      actions=${html`<${PhotoKeys} app=${app} visit=${visit} stop=${params.stop} about=${rec} />
        <${Key} label="Done" name="done" look="main" onTap=${() => app.back(back)} />`}>
      <${Line} app=${app} visit=${visit} kind="receptacle" fields=${SAID} onSave=${said} onEmpty=${() => app.back(back)} />
      <${Choices} legend="Lamps of the tester that are lit" options=${lit} values=${values} onPick=${pick} />
      ${!values.length && html`<${Key} look="small" label="Lit as they should be" name="lit" onTap=${() => save({ lamps: ["hot_neutral", "hot_ground"], lamps_none: null })} />`}
      <p class="small">A three-lamp tester cannot tell neutral and ground apart where they are swapped or joined, nor a poor ground from a good one.</p>
      <${Choices} legend="Tried again" options=${[["yes", "with the same result"]]} values=${record.repeated ? ["yes"] : []} onPick=${(held) => save({ repeated: held.length ? true : null })} />
      ${fields(FIRST)}
      ${others.length > 0 && html`<${Choices} legend="Died with it, and came back with it" options=${others} values=${record.died_with ?? []} onPick=${dead} />`}
      ${rec && others.length > 0 && html`<${Choices} legend="It went dead with the button of" options=${others} values=${buttons} onPick=${deadWith} />`}
      <details><summary>More about it</summary><div class="fields">${fields(MORE)}</div></details>
      ${rec && html`<${ProposalLines} app=${app} visit=${visit} subject=${rec} stop=${params.stop} />`}
    <//>`;
}
