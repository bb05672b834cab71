// What is wrong with a number as it was written, in a sentence that says what to do; "" if nothing.
export function fault(text, { form, min, max }) {
  if (text === "") return "";
  const whole = form === "int";
  if (!(whole ? /^-?\d{1,9}$/ : /^-?\d{1,9}(\.\d{1,6})?$/).test(text)) {
    return whole ? "Write a whole number, such as 12." : "Write a number, such as 36 or 36.5.";
  }
  const number = Number(text);
  if (min !== undefined && number < min) return `The least that fits here is ${min}.`;
  if (max !== undefined && number > max) return `The most that fits here is ${max}.`;
  return "";
}
