/* A worked lesson's file, the teacher's table, and the address of a lesson. */

import assert from "node:assert/strict";
import { test } from "node:test";

import { placeOf } from "../../viz/browser/lessons/lesson_address.js";
import {
  fileStem,
  RECORD_HEAD,
  recordRow,
  recordTable,
  recordText,
} from "../../viz/browser/lessons/lesson_record.js";

const piece = (text) => [{ text, live: false }];
const LESSON = {
  key: "4_gas",
  title: "Gas",
  predict: { options: [], axes: { places: [1000, 2000], xLabel: "Speed, rpm" } },
  checks: [{ options: [piece("same"), piece("lower")] }],
};
const DONE = {
  answers: [
    { choice: 0, right: false, at: "2030-01-01T10:02:00.000Z" },
    { choice: 1, right: true, at: "2030-01-01T10:03:00.000Z" },
  ],
  times: { opened: "2030-01-01T10:00:00.000Z", predicted: "2030-01-01T10:01:00.000Z" },
};
const ANSWER = { points: [3, -1.5], remarks: [{ words: "Both fall." }], size: "Near." };

test("a drawn prediction, answers and times come back as a row", () => {
  const text = recordText("A. Student", { lesson: LESSON, answer: ANSWER, done: DONE });
  const row = recordRow("a.json", text);
  const named = Object.fromEntries(RECORD_HEAD.map((head, i) => [head, row[i]]));
  assert.equal(named.Name, "A. Student");
  assert.equal(named.Prediction, "1000: 3; 2000: -1.5");
  assert.equal(named["The engine"], "Both fall. Near.");
  assert.equal(named.Answers, "same | lower");
  assert.equal(named["Answered right"], "yes");
  assert.equal(named.Predicted, DONE.times.predicted);
  assert.equal(named.Tried, "");
});

test("a number is a prediction and an answer, and every question must be right", () => {
  const amount = { options: [], unit: "rpm" };
  const lesson = { ...LESSON, predict: amount, checks: [...LESSON.checks, amount] };
  const answer = { value: 50, side: 1, good: false, right: "46 rpm" };
  const one = { ...DONE, answers: [...DONE.answers, { question: 1, value: 9300, right: false }] };
  const row = recordRow("n.json", recordText("", { lesson, answer, done: one }));
  assert.deepEqual(row.slice(2, 6), ["50 rpm", "46 rpm", "1: same | 1: lower | 2: 9300 rpm", "no"]);
  one.answers.push({ question: 1, value: 9265, right: true });
  assert.equal(recordRow("n.json", recordText("", { lesson, answer, done: one }))[5], "yes");
});

test("a choice comes back in the words of the option", () => {
  const lesson = { ...LESSON, predict: { options: [piece("up"), piece("down")] } };
  const answer = { choice: 0, right: 1, good: false };
  const row = recordRow("b.json", recordText("", { lesson, answer, done: {} }));
  assert.deepEqual(row.slice(0, 6), ["", "Gas", "up", "down", "", "no"]);
});

test("what is no worked lesson is refused by name", () => {
  for (const text of ["", "[]", "null", "{}", '{"kind":"other"}'])
    assert.throws(() => recordRow("x.json", text), /x\.json is not a worked lesson/);
  const other = '{"kind":"sixthrow worked lesson","schema":9}';
  assert.throws(() => recordRow("x.json", other), /another version/);
});

test("a hostile file becomes plain short text, and no formula in a spreadsheet", () => {
  const hostile = JSON.stringify({
    kind: "sixthrow worked lesson",
    schema: 1,
    name: "=1+1",
    lesson: { title: "x".repeat(9999) },
    prediction: { drawn: [1, "a", null], at: [{}] },
    engine: { a: 1 },
    answers: [{ chosen: 7 }],
    times: "soon",
  });
  const row = recordRow("y.json", hostile);
  assert.equal(row.length, RECORD_HEAD.length);
  assert.ok(row.every((cell) => typeof cell === "string" && cell.length <= 400));
  assert.ok(recordTable([row]).split("\n")[1].startsWith("'=1+1,"));
});

test("a file is named after the student, whatever the name holds", () => {
  assert.equal(fileStem("Jörg / Müller"), "Jorg-Muller");
  assert.equal(fileStem("../.."), "student");
});

test("an address names a lesson, its step and its question", () => {
  assert.deepEqual(placeOf("#lesson=3_six&step=why"), { key: "3_six", step: "why", question: 0 });
  assert.equal(placeOf("#lesson=3_six&step=check&question=2").question, 1);
  assert.equal(placeOf("#lesson=3_six&step=check&question=-1e9").question, 0);
  assert.deepEqual(placeOf(""), { key: null, step: null, question: 0 });
});
