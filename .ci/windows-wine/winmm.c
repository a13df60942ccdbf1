/* A transmitter that plays a script: the environment variable FLICKS holds holds in
 * ms, such as "300 150 -1500 900"; for the time of a negative one it is unplugged. The
 * first begins BEGIN ms after the program asked for the first position, the next one a
 * second after the one before is over, or two after it was plugged in again. The switch
 * is the third axis. */

#include <windows.h>
#include <mmsystem.h>
#include <stdlib.h>
#include <string.h>

#define EXPORT(type) __declspec(dllexport) type WINAPI

static double now(void)
{
	LARGE_INTEGER ticks, frequency;
	QueryPerformanceCounter(&ticks);
	QueryPerformanceFrequency(&frequency);
	return 1e3 * (double)ticks.QuadPart / (double)frequency.QuadPart;
}

static double began;

/* Returns where the switch is, and -1 while there is no transmitter. */
static LONG level(void)
{
	const char *script = getenv("FLICKS");
	const char *wait = getenv("BEGIN");
	double at;
	if (!began)
		began = now();
	at = began + (wait ? atof(wait) : 3000);
	while (script && *script) {
		char *rest;
		double hold = strtod(script, &rest);
		double length = hold < 0 ? -hold : hold;
		if (rest == script)
			break;
		if (now() >= at && now() < at + length)
			return hold < 0 ? -1 : 65535;
		at += length + (hold < 0 ? 2000 : 1000);
		script = rest;
	}
	return 0;
}

EXPORT(UINT) joyGetNumDevs(void) { return 16; }
EXPORT(MMRESULT) joyConfigChanged(DWORD flags) { return 0; }
EXPORT(MMRESULT) timeBeginPeriod(UINT period) { return 0; }
EXPORT(MMRESULT) timeEndPeriod(UINT period) { return 0; }

EXPORT(MMRESULT) joyGetDevCapsW(UINT_PTR id, LPJOYCAPSW caps, UINT size)
{
	if (id != 1 || level() < 0)
		return JOYERR_PARMS;
	memset(caps, 0, size);
	wcscpy(caps->szPname, L"scripted transmitter");
	caps->wXmax = caps->wYmax = caps->wZmax = 65535;
	caps->wNumButtons = 2;
	caps->wCaps = JOYCAPS_HASZ;
	return JOYERR_NOERROR;
}

EXPORT(MMRESULT) joyGetPosEx(UINT id, LPJOYINFOEX info)
{
	LONG at = level();
	if (id != 1 || at < 0)
		return JOYERR_UNPLUGGED;
	info->dwXpos = info->dwYpos = 32767;
	info->dwZpos = at;
	info->dwButtons = 0;
	return JOYERR_NOERROR;
}
