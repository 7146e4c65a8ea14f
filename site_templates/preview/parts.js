// Making and asking: elements from values (never from markup), and requests to this computer's own server.

export function h(name, has = {}, ...inside) {
  const made = document.createElement(name);
  for (const [key, value] of Object.entries(has)) {
    if (value === false || value === null || value === undefined) continue;
    if (key.startsWith("on")) made.addEventListener(key.slice(2), value);
    else if (key === "value" || key === "checked" || key === "disabled" || key === "selected") made[key] = value;
    else made.setAttribute(key, value === true ? "" : value);
  }
  made.append(...inside.flat(9).filter((one) => one !== null && one !== undefined && one !== false));
  return made;
}

export async function get(path) {
  const answer = await fetch(path, { cache: "no-store" });
  if (!answer.ok) throw new Error((await answer.json()).why);
  return answer.json();
}

export async function post(path, value) {
  const answer = await fetch(path, { method: "POST", headers: { "Content-Type": "application/json" }, body: JSON.stringify(value) });
  return { status: answer.status, ...(await answer.json()) };
}

export function count(number, one, many = `${one}s`) {
  return `${number} ${number === 1 ? one : many}`;
}

// A text with {part} and {number} as cards print it.
export function spoken(text, words) {
  const found = [];
  let last = 0;
  for (const match of String(text ?? "").matchAll(/\{\{|\}\}|\{([^{}\n]*)\}/g)) {
    found.push(text.slice(last, match.index));
    last = match.index + match[0].length;
    if (match[1] === undefined) found.push(match[0][0]);
    else {
      const part = words.parts.find((one) => one.id === match[1]);
      const number = words.numbers.find((one) => one.id === match[1]);
      found.push(part ? h("b", {}, part.label) : number ? h("b", {}, number.value) : h("b", { class: "lost" }, match[0]));
    }
  }
  found.push(String(text ?? "").slice(last));
  return found;
}

// Words between backticks are as the file has them.
export function coded(text) {
  return text.split(/(`[^`]+`)/).map((part) => (part.length > 2 && part[0] === "`" && part.at(-1) === "`" ? h("code", {}, part.slice(1, -1)) : part));
}
