/* ProcessPrng by SystemFunction036, for a wine whose bcryptprimitives.dll lacks it. */
#include <windows.h>
BOOLEAN NTAPI SystemFunction036(PVOID buffer, ULONG length);
__declspec(dllexport) BOOL WINAPI ProcessPrng(PBYTE buffer, SIZE_T length)
{
	return SystemFunction036(buffer, (ULONG)length);
}
