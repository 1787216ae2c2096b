// The kennel's records, read here independently of the program, so that the pages can be compared with what the keeper wrote.
// In: the kennel folder. Out: the kennel, the day the demo is held at, and its litters with their puppies. Nothing is computed twice:
// only plain facts are taken (ids, offers, dates).

import { existsSync, readFileSync, readdirSync } from 'node:fs';
import path from 'node:path';
import { parse } from 'yaml';

const DAY = 24 * 3600 * 1000;

/** 'YYYY-MM-DD' moved by whole days. */
export function addDays(day, days) {
  return new Date(Date.parse(`${day}T00:00:00Z`) + days * DAY).toISOString().slice(0, 10);
}

/** Whole calendar days from one 'YYYY-MM-DD' to another. */
export function daysBetween(from, to) {
  return Math.round((Date.parse(`${to}T00:00:00Z`) - Date.parse(`${from}T00:00:00Z`)) / DAY);
}

function readYaml(file) {
  // The core schema leaves dates as the strings they were written as.
  return parse(readFileSync(file, 'utf8'), { schema: 'core' });
}

function readLitter(folder, id, leavingAge) {
  const record = readYaml(path.join(folder, id, 'litter.yaml'));
  const born = record.birth?.on ?? null;
  const puppies = (record.puppies ?? [])
    .filter((puppy) => (puppy.fate ?? 'living') === 'living')
    .map((puppy) => ({ ...puppy, litter: id, born, leaves: born && addDays(born, leavingAge) }));
  const withheld = (record.puppies ?? []).filter((puppy) => (puppy.fate ?? 'living') !== 'living' || puppy.offer === 'not offered');
  return { ...record, id, born, puppies, withheld };
}

export function readRecords(kennelDir) {
  const content = path.join(kennelDir, 'content');
  const kennel = readYaml(path.join(content, 'kennel.yaml'));
  const leavingAge = Number.parseInt(kennel.leaving_age ?? '56 days', 10) * (/week/.test(kennel.leaving_age ?? '') ? 7 : 1);
  const folder = path.join(content, 'litters');
  const litters = readdirSync(folder)
    .filter((id) => existsSync(path.join(folder, id, 'litter.yaml')))
    .sort()
    .map((id) => readLitter(folder, id, leavingAge));
  const puppies = litters.flatMap((litter) => litter.puppies);
  return {
    kennel,
    litters,
    puppies,
    available: puppies.filter((puppy) => puppy.offer === 'available'),
    today: kennel.as_of ?? new Date().toISOString().slice(0, 10),
    zone: kennel.time_zone,
  };
}
