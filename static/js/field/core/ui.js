// The one place where the vendored libraries come in: one Preact, htm bound to it.
import { Component, h, render } from "preact";
import { useEffect, useLayoutEffect, useMemo, useRef, useState } from "preact/hooks";
import htm from "htm";
import { batch, computed, effect, signal, useComputed, useSignal } from "@preact/signals";

export const html = htm.bind(h);
export {
  Component, batch, computed, effect, h, render, signal, useComputed, useEffect, useLayoutEffect, useMemo,
  useRef, useSignal, useState,
};

// Class names from a list in which anything may be missing.
export const classes = (...names) => names.filter(Boolean).join(" ");
