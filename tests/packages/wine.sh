# Shared by what tries the Windows build under wine; read in, not run.
#
# In: nothing. Out: $wine_work (a folder), $program (the .exe that was built, or LITTERFOLIO_EXE), a wine of its own in which it can run, and `for_windows`:
# a command that hands its arguments to the .exe, paths as Windows has them.

wine_work="$PWD/target/packaging/wine"
program="${LITTERFOLIO_EXE:-$PWD/target/packaging/cargo/x86_64-pc-windows-gnu/release/litterfolio.exe}"
for_windows="$wine_work/litterfolio-for-windows"
export WINEPREFIX="$wine_work/prefix" WINEDEBUG=-all WINEDLLOVERRIDES="winemenubuilder.exe=;icacls.exe,whoami.exe=n"
unset DISPLAY WAYLAND_DISPLAY

[ -f "$program" ] || { echo "there is no program for Windows: run ./package windows first" >&2 && exit 2; }
if ! command -v wine >/dev/null || ! command -v x86_64-w64-mingw32-gcc >/dev/null; then
  apt-get install -y -qq --no-install-recommends wine wine64 gcc-mingw-w64-x86-64 >/dev/null
fi
mkdir -p "$wine_work"
if [ ! -d "$WINEPREFIX" ]; then
  wine wineboot --init >/dev/null 2>&1
  wineserver --wait
fi
# Where Windows looks for the libraries of all programs, and for its own programs.
system32="$WINEPREFIX/drive_c/windows/system32"
x86_64-w64-mingw32-gcc -O2 -shared -o "$system32/bcryptprimitives.dll" tests/packages/random.c -ladvapi32
x86_64-w64-mingw32-gcc -O2 -o "$system32/whoami.exe" tests/packages/whoami.c -ladvapi32
x86_64-w64-mingw32-gcc -O2 -municode -o "$system32/icacls.exe" tests/packages/icacls.c -ladvapi32

# A path that begins at the root is one of drive Z there.
cat >"$for_windows" <<SH
#!/usr/bin/env bash
export WINEPREFIX='$WINEPREFIX' WINEDEBUG=-all WINEDLLOVERRIDES='$WINEDLLOVERRIDES'
arguments=()
for argument in "\$@"; do
  case "\$argument" in
    /*) argument="Z:\$argument" ;;
    --*=/*) argument="\${argument%%=*}=Z:\${argument#*=}" ;;
  esac
  arguments+=("\$argument")
done
exec wine '$program' "\${arguments[@]}"
SH
chmod +x "$for_windows"
