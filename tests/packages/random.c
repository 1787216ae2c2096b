// Debian 12's wine has no bcryptprimitives.dll, which Rust's library asks for random numbers. For trials under wine this stands in for it, and asks the
// generator that wine has. Windows has the file; it is never handed out.
#include <windows.h>

BOOLEAN NTAPI SystemFunction036(PVOID, ULONG);

__declspec(dllexport) BOOL WINAPI ProcessPrng(PBYTE to, SIZE_T length) {
  return SystemFunction036(to, (ULONG)length);
}

BOOL WINAPI DllMain(HINSTANCE module, DWORD reason, LPVOID reserved) {
  (void)module, (void)reason, (void)reserved;
  return TRUE;
}
