// Compares two folders of answers: `node against.mjs BEFORE AFTER ALLOWED`. Whatever differs and is not listed in
// ALLOWED is printed, and the exit status is 1.
//
// A line of ALLOWED is a pattern of file names (`*` stands for anything) and, for JSON, the path of a key that may
// be new, gone or other: `flush-*.json openings[].strokes`. A pattern alone lets the whole file differ. `#` begins a
// comment.
import { readdirSync, readFileSync, statSync } from "node:fs";
import { join, relative } from "node:path";

const [before, after, allowedFile] = process.argv.slice(2);

const files = (root, at = root) =>
    readdirSync(at).flatMap((name) => {
        const path = join(at, name);
        return statSync(path).isDirectory() ? files(root, path) : [relative(root, path)];
    });

const pattern = (text) =>
    new RegExp(`^${text.split("*").map((t) => t.replace(/[.+?^${}()|[\]\\]/g, "\\$&")).join(".*")}$`);

const allowed = readFileSync(allowedFile, "utf8")
    .split("\n")
    .map((line) => line.replace(/#.*/, "").trim())
    .filter(Boolean)
    .map((line) => line.split(/\s+/))
    .map(([file, key]) => ({ file: pattern(file), key }));

// Keys that may differ are taken out of both sides; everything else, and the order of keys, must be alike.
const without = (value, keys, path = "") => {
    if (Array.isArray(value)) return value.map((item) => without(item, keys, `${path}[]`));
    if (value === null || typeof value !== "object") return value;
    const at = (key) => (path ? `${path}.${key}` : key);
    return Object.fromEntries(
        Object.entries(value)
            .filter(([key]) => !keys.has(at(key)))
            .map(([key, item]) => [key, without(item, keys, at(key))]),
    );
};

const same = (name) => {
    const rules = allowed.filter((rule) => rule.file.test(name));
    if (rules.some((rule) => rule.key === undefined)) return true;
    const [a, b] = [before, after].map((root) => readFileSync(join(root, name)));
    if (a.equals(b)) return true;
    if (!name.endsWith(".json") || rules.length === 0) return false;
    const keys = new Set(rules.map((rule) => rule.key));
    const [x, y] = [a, b].map((text) => JSON.stringify(without(JSON.parse(text), keys)));
    return x === y;
};

const [was, is] = [before, after].map((root) => new Set(files(root)));
const only = (one, other) => [...one].filter((name) => !other.has(name) && !allowed.some((rule) => rule.file.test(name)));
const gone = only(was, is);
const come = only(is, was);
const other = [...is].filter((name) => was.has(name) && !same(name));
for (const [what, names] of [["gone", gone], ["new", come], ["differs", other]]) {
    for (const name of names.sort()) console.log(`${what}: ${name}`);
}
console.log(`${is.size} answers, ${gone.length + come.length + other.length} not as before`);
process.exit(gone.length + come.length + other.length ? 1 : 0);
