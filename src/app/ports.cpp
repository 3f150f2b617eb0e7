#include "app/ports.h"
