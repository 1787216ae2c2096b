#!/usr/bin/env bash
# Has shells read the completions, and two formatters the manual.
#
#   prompt.sh PROGRAM WORK
#
# In: the program, and a folder to work in. Out: a line for each judge; exit code 1 when one of them objects to anything, a warning included.
set -euo pipefail
program="$1"
work="$2"
rm -rf "$work"
mkdir -p "$work"
objections=0

# judge NAME COMMAND...: passes when the command succeeds and says nothing.
judge() {
  local name="$1" said
  shift
  if said="$("$@" 2>&1)" && [ -z "$said" ]; then
    echo "ok      $name"
  else
    echo "FAILED  $name: $said"
    objections=$((objections + 1))
  fi
}

for shell in bash zsh fish; do
  "$program" completions "$shell" >"$work/$shell"
  [ -s "$work/$shell" ]
  judge "$shell reads its completions" "$shell" -n "$work/$shell"
done
# fish completes with them, too.
completed="$(fish --no-config -c "source $work/fish; complete -C 'litterfolio des'" | cut -f 1)"
judge "fish completes \`litterfolio des\`" test "$completed" = desk

"$program" manual --into "$work/man1" >"$work/pages"
[ -s "$work/pages" ]
while read -r page; do
  # Where a command takes one of several words, the generator asks for a line break too many.
  judge "mandoc reads ${page##*/}" bash -c 'mandoc -T lint -W warning "$1" | { grep -v "skipping paragraph macro: br" || true; }' _ "$page"
  # As `man` does, which knows that pages are written in UTF-8.
  judge "groff reads ${page##*/}" groff -K utf-8 -man -Tutf8 -ww -z "$page"
done <"$work/pages"
[ "$objections" -eq 0 ]
