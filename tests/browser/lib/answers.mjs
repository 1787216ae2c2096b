// The library's own figures, asked of the example program `answers`, so that what a page computes can be held against them.
//
// In: the program's path, questions as tests/judges/answers.rs knows them. Out: one answer for each. A question that is refused is an error, or with `mayRefuse` answered by null.

import { execFile } from 'node:child_process';
import { existsSync } from 'node:fs';
import path from 'node:path';

/** The example program beside the program that is judged, or else in the debug folder next to that one. */
export function answersBeside(program) {
  const folder = path.dirname(path.resolve(program));
  const names = [path.join(folder, 'examples', 'answers'), path.join(path.dirname(folder), 'debug', 'examples', 'answers')];
  const found = names.find((name) => existsSync(name));
  if (!found) throw new Error(`there is no ${names[0]}; build it: cargo build --release --example answers`);
  return found;
}

export function ask(program, questions, mayRefuse = false) {
  return new Promise((done, failed) => {
    const child = execFile(program, [], { maxBuffer: 2 ** 30 }, (error, stdout, stderr) => {
      if (error) return failed(new Error(`the answers ended badly: ${error.message} ${stderr.slice(-2000)}`));
      const said = stdout.split('\n').filter((line) => line !== '').map((line) => JSON.parse(line));
      const refused = !mayRefuse && said.find((each) => each.refused);
      if (refused) return failed(new Error(`the library refused a question: ${refused.refused}: ${refused.message}`));
      if (said.length !== questions.length) return failed(new Error(`${questions.length} questions got ${said.length} answers`));
      return done(said.map((each) => (each.refused ? null : each.answer)));
    });
    child.stdin.end(questions.map((question) => `${JSON.stringify(question)}\n`).join(''));
  });
}
