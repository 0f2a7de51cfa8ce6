// Runs penstock's diagrams in an interpreter of SCXML that is not ours, and compares it after every event with
// what the tables did: configuration, transition taken, refusal and data.
//
// Usage: node compare.js INTERPRETER STREAMS [--changed]
//
// With --changed it proves that the comparison can fail: it makes one change after another in the text of each
// machine (another target, a guard or one of its comparisons turned round, an assignment of something else, a
// refusal without its log), and every one must be noticed.
'use strict';

const fs = require('fs');
const path = require('path');
const {createRequire} = require('module');

const [interpreter, streams, mode] = process.argv.slice(2);
if (streams === undefined || (mode !== undefined && mode !== '--changed')) {
  console.error('usage: node compare.js INTERPRETER STREAMS [--changed]');
  process.exit(2);
}
const scxml = createRequire(path.join(path.resolve(interpreter), 'package.json'))('@scion-scxml/scxml');

// A document as the interpreter has it: started, with what it did at the last event.
class Running {
  static async of(text) {
    const prepared = await new Promise((resolve, reject) => {
      const done = (go) => (problem, made) => problem ? reject(new Error(String(problem))) : go(made);
      scxml.documentStringToModel('diagram.scxml', text, done((model) => model.prepare(done(resolve))));
    });
    return new Running(prepared);
  }

  constructor(prepared) {
    this.forget();
    const log = (label, words) => this.logged.push(`${label}: ${words}`);
    this.machine = new scxml.core.Statechart(prepared, {console: {log, warn: log, error: log}});
    this.machine.on('onTransition', (source, targets, number) => this.taken.push(`${source} ${number}`));
    this.machine.on('onError', (problem) => this.problems.push(JSON.stringify(problem)));
    this.machine.start();
  }

  forget() {
    this.taken = [];
    this.logged = [];
    this.problems = [];
  }

  tell(name, data) {
    this.forget();
    this.machine.gen({name, data});
  }

  states() {
    return this.machine.getConfiguration();
  }

  // Whether these are the states it is in, and no others.
  isIn(states) {
    const here = this.states();
    return here.length === states.length && states.every((state) => here.includes(state));
  }

  // What the machine of a region remembers; machines that remember nothing have no such data.
  memory(region) {
    const data = this.machine.getSnapshot()[3] || {};
    return data[region === '' ? 'memory' : region.replace(/[-.]/g, '_')] || {};
  }
}

const inWords = (value) => JSON.stringify(value);

// The first difference, or null. `first` holds the states in which the document begins.
async function difference(text, events, first) {
  let running;
  try {
    running = await Running.of(text);
  } catch (problem) {
    return {number: 0, what: 'document', expected: 'one that can be run', found: String(problem)};
  }
  const expected = new Map(first);
  if (!running.isIn([...expected.values()])) {
    return {number: 0, what: 'first states', expected: [...expected.values()], found: running.states()};
  }
  for (let i = 0; i < events.length; ++i) {
    const wanted = events[i];
    running.tell(wanted.event, wanted.data);
    expected.set(wanted.region, wanted.state);
    const differs = (what, right, found) => ({number: i + 1, event: wanted, what, expected: right, found});
    if (running.problems.length > 0) return differs('errors', [], running.problems);
    const taken = wanted.taken === null ? [] : [wanted.taken];
    if (inWords(running.taken) !== inWords(taken)) return differs('transitions', taken, running.taken);
    if (!running.isIn([...expected.values()])) {
      return differs('states', [...expected.values()].sort(), running.states().sort());
    }
    const refused = wanted.refused === null ? [] : [`refused: ${wanted.refused}`];
    if (inWords(running.logged) !== inWords(refused)) return differs('refusals', refused, running.logged);
    const memory = running.memory(wanted.region);
    if (inWords(memory) !== inWords(wanted.memory)) return differs('data', wanted.memory, memory);
  }
  return null;
}

function inSentence(name, found) {
  const told = found.event ? ` (${found.event.event} ${inWords(found.event.data)})` : '';
  return `${name}: event ${found.number}${told}: ${found.what}: expected ${inWords(found.expected)}, ` +
      `found ${inWords(found.found)}`;
}

function documents(kind) {
  const folder = path.join(streams, kind);
  const files = fs.readdirSync(folder).filter((file) => file.endsWith('.scxml')).sort();
  if (files.length === 0) throw new Error(`${folder}: no SCXML`);
  return files.map((file) => {
    const name = path.basename(file, '.scxml');
    const text = fs.readFileSync(path.join(folder, file), 'utf8');
    const lines = fs.readFileSync(path.join(folder, `${name}.events`), 'utf8').trim().split('\n');
    const initial = [...text.matchAll(/ initial="([^"]*)"/g)].map((found) => found[1]);
    // A machine begins in the state that its document names; in an aircraft each region names its own.
    const first = kind === 'machines' ? [['', initial[0]]] :
        initial.slice(1).map((state) => [state.slice(0, state.lastIndexOf('.')), state]);
    return {name, text, events: lines.map((line) => JSON.parse(line)), first};
  });
}

const count = (text, what) => (text.match(what) || []).length;

async function compareAll() {
  let differences = 0;
  for (const kind of ['machines', 'aircraft']) {
    const begin = process.hrtime.bigint();
    const sum = {documents: 0, states: 0, transitions: 0, events: 0};
    for (const document of documents(kind)) {
      ++sum.documents;
      sum.states += count(document.text, /<state /g);
      sum.transitions += count(document.text, /<transition /g);
      sum.events += document.events.length;
      const found = await difference(document.text, document.events, document.first);
      if (found === null) continue;
      ++differences;
      console.error(inSentence(document.name, found));
    }
    const seconds = Number(process.hrtime.bigint() - begin) / 1e9;
    console.log(`${sum.documents} ${kind}, ${sum.states} states, ${sum.transitions} transitions: ` +
        `${sum.events} events compared in ${seconds.toFixed(1)} s`);
    if (kind === 'machines' && sum.events < 100000) throw new Error('fewer than 100,000 events were compared');
  }
  return differences;
}

// Each change as [what, text with it].
function changesOf(text) {
  const made = [];
  const states = [...text.matchAll(/<state id="([^"]*)"/g)].map((found) => found[1]);
  const change = (what, pattern, changed) => {
    for (const found of text.matchAll(pattern)) {
      const before = text.slice(0, found.index);
      for (const replacement of [changed(...found)].flat()) {
        made.push([`${what} ${found[0]} -> ${replacement}`, before + replacement + text.slice(found.index + found[0].length)]);
      }
    }
  };
  change('target', / target="([^"]*)"/g, (all, state) => ` target="${states[(states.indexOf(state) + 1) % states.length]}"`);
  change('guard', / cond="([^"]*)"/g, (all, guard) => [` cond="!(${guard})"`, ...flipped(guard).map((one) => ` cond="${one}"`)]);
  change('assignment', /(<assign location="[^"]*") expr="([^"]*)"/g, (all, location) => `${location} expr="'changed'"`);
  change('refusal', /<log [^>]*>/g, () => '');
  return made;
}

// A guard with one of its comparisons turned round, for each of them.
function flipped(guard) {
  const comparison = /(!?)((?:_event\.data|memory)\.\w+(?: \+ 1)?)(?: (===|!==|&lt;|&gt;=) ('[^']*'|[\w.]+))?/g;
  const opposite = {'===': '!==', '!==': '===', '&lt;': '&gt;=', '&gt;=': '&lt;'};
  return [...guard.matchAll(comparison)].map((found) => {
    const [all, not, name, sign, value] = found;
    const turned = sign ? `${name} ${opposite[sign]} ${value}` : (not ? name : `!${name}`);
    return guard.slice(0, found.index) + turned + guard.slice(found.index + all.length);
  });
}

async function noticeAll() {
  let changes = 0;
  let missed = 0;
  for (const document of documents('machines')) {
    for (const [what, text] of changesOf(document.text)) {
      ++changes;
      if (text === document.text) throw new Error(`${document.name}: nothing was changed: ${what}`);
      if (await difference(text, document.events, document.first) !== null) continue;
      ++missed;
      console.error(`${document.name}: not noticed: ${what}`);
    }
  }
  console.log(`${changes} changes of the text, ${changes - missed} noticed`);
  if (changes === 0) throw new Error('nothing was changed');
  return missed;
}

(mode === '--changed' ? noticeAll() : compareAll()).then((wrong) => process.exit(wrong === 0 ? 0 : 1), (problem) => {
  console.error(problem.stack || String(problem));
  process.exit(1);
});
