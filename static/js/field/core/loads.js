// What a space's label most likely feeds; a guess that fills an empty field and no more.
const WORDS = [
  ["water_heater", /water heat/], ["laundry", /laundry|\bwasher/], ["dryer", /dryer/], ["range", /range|oven|stove|cooktop/],
  ["kitchen", /kitchen|disp|dish|fridge|refrig|microwave|counter|island/], ["bathroom", /bath/],
  ["cooling", /\bac\b|a\/c|cool|condens|heat pump/], ["heat", /heat|furnace|air handler/],
  ["feeder", /sub ?panel|feeder|panel/], ["garage", /garage|freezer|door opener|workbench/],
  ["outside", /outside|outdoor|deck|porch|exterior|yard/], ["general", /light|bed|living|dining|hall|office|recept|plug|general|smoke|crawl|attic/],
];

export function loadOf(label) {
  const low = String(label ?? "").toLowerCase();
  return WORDS.find(([, pattern]) => pattern.test(low))?.[0] ?? null;
}
