/* A worked lesson as one small file, and many of them as a table: pure, no page. */

import { csvOf } from "../shared/csv_text.js";

const KIND = "sixthrow worked lesson";
const LONGEST = 400; // characters of a text that is taken from a file
export const MOST_RECORD_BYTES = 40_000;
export const RECORD_HEAD = [
  "Name",
  "Lesson",
  "Prediction",
  "The engine",
  "Answers",
  "Answered right",
  "Opened",
  "Predicted",
  "Tried",
  "Answered",
  "File",
];
const TIMES = ["opened", "predicted", "tried", "answered"];

/** The text of pieces. */
function plainText(pieces) {
  return pieces.map(({ text }) => text).join("");
}

/** What was chosen of a question's options, or the number that was given. */
function answerText({ options, unit }, { choice, value }) {
  if (value === undefined) return plainText(options[choice] ?? []);
  return unit ? `${value} ${unit}` : `${value}`;
}

/** What the engine does of what was predicted. */
function engineText({ options }, { remarks, size, value, right }) {
  if (remarks) return [...remarks.map(({ words }) => words), size].join(" ");
  return value === undefined ? plainText(options[right] ?? []) : right;
}

/**
 * The file of a worked lesson; `answer` is what the prediction came to, `done` the progress in it.
 */
export function recordText(name, { lesson, answer, done }) {
  const { predict, checks } = lesson;
  const record = {
    kind: KIND,
    schema: 1,
    name,
    lesson: { key: lesson.key, title: lesson.title },
    prediction: answer.points
      ? { drawn: answer.points, at: predict.axes.places, axis: predict.axes.xLabel }
      : { chosen: answerText(predict, answer) },
    engine: engineText(predict, answer),
    questions: checks.length,
    answers: (done.answers ?? []).map(({ question = 0, right, at, choice, value }) => ({
      question: question + 1,
      chosen: checks[question] ? answerText(checks[question], { choice, value }) : "",
      right,
      at,
    })),
    times: done.times ?? {},
  };
  return `${JSON.stringify(record, null, 1)}\n`;
}

/** A row of `RECORD_HEAD` of a file's text; throws an Error that says what the file is not. */
export function recordRow(file, text) {
  const record = parsed(text);
  if (record?.kind !== KIND) throw new Error(`${file} is not a worked lesson.`);
  if (record.schema !== 1) throw new Error(`${file} is of another version of the program.`);
  const { prediction, times } = record;
  const answers = Array.isArray(record.answers) ? record.answers : [];
  const drawn = Array.isArray(prediction?.drawn) ? prediction.drawn.filter(Number.isFinite) : [];
  const points = drawn.map((y, i) => `${clean(prediction.at?.[i])}: ${y}`).join("; ");
  return [
    clean(record.name),
    clean(record.lesson?.title),
    drawn.length ? clean(points) : clean(prediction?.chosen),
    clean(record.engine),
    answers.map((answer) => givenText(record.questions, answer)).join(" | "),
    areAllRight(record.questions, answers) ? "yes" : "no",
    ...TIMES.map((name) => clean(times?.[name])),
    clean(file),
  ];
}

/** An answer with the number of its question, where there are several. */
function givenText(questions, { question, chosen }) {
  return questions > 1 ? `${clean(question)}: ${clean(chosen)}` : clean(chosen);
}

/** Whether each question has a right answer; files without a count have one question. */
function areAllRight(questions, answers) {
  const right = answers.filter((answer) => answer?.right === true);
  const count = Number.isInteger(questions) && questions > 0 ? questions : 1;
  return new Set(right.map(({ question }) => question ?? 1)).size >= count;
}

function parsed(text) {
  try {
    return JSON.parse(text);
  } catch {
    return null;
  }
}

function clean(value) {
  if (typeof value !== "string" && typeof value !== "number") return "";
  return `${value}`.replace(/[\p{Cc}\p{Cf}]/gu, " ").slice(0, LONGEST);
}

/** Rows as comma-separated values. */
export function recordTable(rows) {
  return csvOf(RECORD_HEAD, rows);
}

/** A name as part of the name of a file. */
export function fileStem(words) {
  const kept = words
    .normalize("NFKD")
    .replace(/\p{M}/gu, "")
    .replace(/[^\p{L}\p{N}]+/gu, "-");
  return kept.replace(/^-+|-+$/g, "").slice(0, 60) || "student";
}
