// What runs while we walk; filled by the runners' screen.
export const RunnerStrip = () => null;
