// Addresses to screens: ":name" stands for one part of the path.

export function matched(routes, path) {
  const given = parts(path);
  for (const route of routes) {
    const params = fit(parts(route.path), given);
    if (params) return { ...route, params };
  }
  return null;
}

const parts = (path) => path.split("?")[0].split("/").filter(Boolean);

function fit(wanted, given) {
  if (wanted.length !== given.length) return null;
  const params = {};
  for (const [at, part] of wanted.entries()) {
    if (part.startsWith(":")) params[part.slice(1)] = decodeURIComponent(given[at]);
    else if (part !== given[at]) return null;
  }
  return params;
}
