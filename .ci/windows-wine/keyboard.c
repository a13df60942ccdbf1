/* A hand at the keyboard of a console: starts a program there and holds the space bar
 * as the environment variable FLICKS says, in ms, such as "300 150 900". The first
 * hold begins BEGIN ms after the start, the next one a second after the one before is
 * over. The first argument says how the program is ended: by the key q or by ctrl-c;
 * with "itself" there are no keys.
 * The rest is the command.
 *
 * It prints how long the space bar was held indeed, in µs, and fails where the program
 * leaves the console in another mode or code page than it found it in. */

#include <windows.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static double now(void)
{
	LARGE_INTEGER ticks, frequency;
	QueryPerformanceCounter(&ticks);
	QueryPerformanceFrequency(&frequency);
	return 1e3 * (double)ticks.QuadPart / (double)frequency.QuadPart;
}

static double wait_until(double at)
{
	while (now() < at - 2)
		Sleep(1);
	while (now() < at)
		;
	return now();
}

static HANDLE in, out;

static void key(BOOL down, WORD code, WORD scan, WCHAR character, DWORD state)
{
	INPUT_RECORD record = {0};
	DWORD written;
	record.EventType = KEY_EVENT;
	record.Event.KeyEvent.bKeyDown = down;
	record.Event.KeyEvent.wRepeatCount = 1;
	record.Event.KeyEvent.wVirtualKeyCode = code;
	record.Event.KeyEvent.wVirtualScanCode = scan;
	record.Event.KeyEvent.uChar.UnicodeChar = character;
	record.Event.KeyEvent.dwControlKeyState = state;
	WriteConsoleInputW(in, &record, 1, &written);
}

static void tap(WORD code, WORD scan, WCHAR character, DWORD state)
{
	key(TRUE, code, scan, character, state);
	Sleep(50);
	key(FALSE, code, scan, character, state);
	Sleep(500);
}

struct console {
	DWORD in, out;
	UINT page, input_page;
};

static struct console look(void)
{
	struct console c = {0};
	GetConsoleMode(in, &c.in);
	GetConsoleMode(out, &c.out);
	c.page = GetConsoleOutputCP();
	c.input_page = GetConsoleCP();
	return c;
}

static void play(const char *script, double at)
{
	for (;;) {
		char *rest;
		double down, up, hold = strtod(script, &rest);
		if (rest == script)
			return;
		down = wait_until(at);
		key(TRUE, VK_SPACE, 57, L' ', 0);
		up = wait_until(at + hold);
		key(FALSE, VK_SPACE, 57, L' ', 0);
		fprintf(stderr, "%.0f ", 1e3 * (up - down));
		at = up + 1000;
		script = rest;
	}
}

int main(int argc, char **argv)
{
	STARTUPINFOA start = {sizeof start};
	PROCESS_INFORMATION process;
	struct console before, taken, after;
	DWORD code = 1;
	char command[4096] = "";
	int i;
	for (i = 2; i < argc; i++) /* none of them holds a space */
		strcat(strcat(command, argv[i]), " ");
	in = CreateFileA("CONIN$", GENERIC_READ | GENERIC_WRITE, 3, NULL, OPEN_EXISTING, 0, NULL);
	out = CreateFileA("CONOUT$", GENERIC_READ | GENERIC_WRITE, 3, NULL, OPEN_EXISTING, 0, NULL);
	before = look();
	if (argc < 3 || !CreateProcessA(NULL, command, NULL, NULL, FALSE, 0, NULL, NULL, &start, &process))
		return fprintf(stderr, "cannot start %s\n", command), 3;
	if (strcmp(argv[1], "itself")) {
		play(getenv("FLICKS"), now() + atof(getenv("BEGIN")));
		Sleep(1000);
	}
	taken = look();
	if (!strcmp(argv[1], "q")) {
		tap('Q', 16, L'q', 0);
		tap('Q', 16, L'q', 0);
	} else if (!strcmp(argv[1], "ctrl-c")) {
		tap('C', 46, 3, LEFT_CTRL_PRESSED);
	}
	if (WaitForSingleObject(process.hProcess, 20000) != WAIT_OBJECT_0)
		return fprintf(stderr, "the program does not end\n"), 3;
	GetExitCodeProcess(process.hProcess, &code);
	after = look();
	if ((strcmp(argv[1], "itself") && taken.in == before.in) || memcmp(&before, &after, sizeof before))
		return fprintf(stderr, "modes %lx %lx, taken %lx %lx, after it %lx %lx; code page %u, after it %u\n", before.in, before.out,
			taken.in, taken.out, after.in, after.out, before.page, after.page), 3;
	return (int)code;
}
