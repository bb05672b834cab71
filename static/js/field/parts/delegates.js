// Kinds of record that have a screen of their own where others get a plain form.
export const ELSEWHERE = {};
