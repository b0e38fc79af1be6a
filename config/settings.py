"""Settings of the site. What differs from place to place comes from the environment, see DEVELOPERS.md."""

from importlib.metadata import distribution
from pathlib import Path

import environ
import fontpkg
from csp.constants import NONE, SELF
from django.core.exceptions import ImproperlyConfigured

BASE_DIR = Path(__file__).resolve().parent.parent
VAR_DIR = BASE_DIR / "var"

env = environ.Env()

DEBUG = env.bool("DEBUG", default=False)
# The demo and the tests run on a key that everyone can read, so it is refused anywhere else.
DEMO = env.bool("DEMO", default=False)
SECRET_KEY = env.str("SECRET_KEY", default="")
if not SECRET_KEY:
    if not (DEBUG or DEMO):
        raise ImproperlyConfigured("Set SECRET_KEY to at least 50 random characters (or DEMO=1 to look around).")
    SECRET_KEY = "demo-key-that-protects-nothing-because-everyone-can-read-it"  # noqa: S105 - see above
# Mixed into every PIN hash, and kept outside the database, so that a stolen dump gives no PIN away.
PIN_KEY = env.str("PIN_KEY", default=SECRET_KEY)

ALLOWED_HOSTS = env.list("ALLOWED_HOSTS", default=["localhost", "127.0.0.1", "[::1]"])
CSRF_TRUSTED_ORIGINS = env.list("CSRF_TRUSTED_ORIGINS", default=[])

INSTALLED_APPS = [
    "competencies",
    "assessments",
    "django.contrib.auth",
    "django.contrib.contenttypes",
    "django.contrib.sessions",
    "django.contrib.messages",
    "whitenoise.runserver_nostatic",
    "django.contrib.staticfiles",
    "django.forms",
    "crispy_forms",
    "axes",
    "csp",
]

MIDDLEWARE = [
    "django.middleware.security.SecurityMiddleware",
    "whitenoise.middleware.WhiteNoiseMiddleware",
    "csp.middleware.CSPMiddleware",
    "django.contrib.sessions.middleware.SessionMiddleware",
    "django.middleware.locale.LocaleMiddleware",
    "competencies.middleware.NullMiddleware",
    "django.middleware.common.CommonMiddleware",
    "django.middleware.csrf.CsrfViewMiddleware",
    "django.contrib.auth.middleware.AuthenticationMiddleware",
    "django.contrib.messages.middleware.MessageMiddleware",
    "django.middleware.clickjacking.XFrameOptionsMiddleware",
    "competencies.middleware.ActorMiddleware",
    "competencies.middleware.LedgerClosedMiddleware",
    "axes.middleware.AxesMiddleware",
]

ROOT_URLCONF = "config.urls"
WSGI_APPLICATION = "config.wsgi.application"

TEMPLATES = [
    {
        "BACKEND": "django.template.backends.django.DjangoTemplates",
        "DIRS": [BASE_DIR / "templates"],
        "APP_DIRS": True,
        "OPTIONS": {
            "context_processors": [
                "django.template.context_processors.request",
                "django.contrib.auth.context_processors.auth",
                "django.contrib.messages.context_processors.messages",
                "competencies.context_processors.site",
            ],
        },
    },
]
FORM_RENDERER = "django.forms.renderers.TemplatesSetting"

DATABASES = {"default": env.db_url("DATABASE_URL", default=f"sqlite:///{VAR_DIR / 'site.sqlite3'}")}
if DATABASES["default"].get("ENGINE") not in {"django.db.backends.sqlite3", "django.db.backends.postgresql"}:
    raise ImproperlyConfigured("DATABASE_URL must begin with postgres:// or sqlite:///")
if DATABASES["default"]["ENGINE"] == "django.db.backends.sqlite3":
    # A sign-off that was acknowledged must survive a power cut, and two tablets must queue, not fail.
    DATABASES["default"]["OPTIONS"] = {
        "transaction_mode": "IMMEDIATE",
        "timeout": 20,
        "init_command": (
            "PRAGMA journal_mode=WAL; PRAGMA synchronous=FULL; PRAGMA recursive_triggers=ON; PRAGMA secure_delete=ON"
        ),
    }
else:
    DATABASES["default"]["CONN_MAX_AGE"] = 60
# Files made in the background lie here for some days: outside the database, its backups and the web's reach.
JOB_FILES = Path(env.str("JOB_FILES", default=str(VAR_DIR / "jobs")))
# Where reminders go: shown on the console unless told otherwise, or smtp://, or filemail:///folder.
for _name, _value in env.email_url("EMAIL_URL", default="consolemail://").items():
    globals()[_name] = _value
DEFAULT_FROM_EMAIL = env.str("DEFAULT_FROM_EMAIL", default="training@localhost")
# The site's own address, for links in e-mails: a command has no request to learn it from.
SITE_ADDRESS = env.str("SITE_ADDRESS", default="").rstrip("/")
DEFAULT_AUTO_FIELD = "django.db.models.BigAutoField"

AUTH_USER_MODEL = "competencies.User"
AUTHENTICATION_BACKENDS = [
    "axes.backends.AxesStandaloneBackend",
    "django.contrib.auth.backends.ModelBackend",
]
AUTH_PASSWORD_VALIDATORS = [
    {"NAME": "django.contrib.auth.password_validation.UserAttributeSimilarityValidator"},
    {"NAME": "django.contrib.auth.password_validation.MinimumLengthValidator", "OPTIONS": {"min_length": 12}},
    {"NAME": "django.contrib.auth.password_validation.CommonPasswordValidator"},
]
PASSWORD_HASHERS = [
    "django.contrib.auth.hashers.Argon2PasswordHasher",
    "django.contrib.auth.hashers.PBKDF2PasswordHasher",
]
LOGIN_URL = "competencies:sign-in"
LOGIN_REDIRECT_URL = "competencies:home"
LOGOUT_REDIRECT_URL = "competencies:sign-in"
AXES_LOCKOUT_TEMPLATE = "429.html"
# Shared terminals have one address: count failures by name and address together.
AXES_LOCKOUT_PARAMETERS = [["username", "ip_address"]]
AXES_FAILURE_LIMIT = 5
AXES_COOLOFF_TIME = 0.25
AXES_RESET_ON_SUCCESS = True

LANGUAGE_CODE = "en-gb"
LOCALE_PATHS = [BASE_DIR / "locale"]
TIME_ZONE = "UTC"
USE_TZ = True

STATIC_URL = "static/"
STATIC_ROOT = BASE_DIR / "staticfiles"
# The demo and the tests collect nothing first, so they serve static files from where they lie.
WHITENOISE_AUTOREFRESH = WHITENOISE_USE_FINDERS = DEBUG or DEMO
# One font for screen and paper; on paper it is the only file that a sheet may load.
PRINT_FONT = fontpkg.path("source-sans-3")
STATICFILES_DIRS = [
    BASE_DIR / "static",
    ("fonts", PRINT_FONT.parent),
    # Formulas on a page are set in the font in which print draws them.
    ("math", str(distribution("ziamath").locate_file("ziamath/fonts"))),
]

CRISPY_ALLOWED_TEMPLATE_PACKS = ("plant",)
CRISPY_TEMPLATE_PACK = "plant"

CONTENT_SECURITY_POLICY = {
    "DIRECTIVES": {
        "default-src": [SELF],
        "img-src": [SELF, "data:"],
        "object-src": [NONE],
        "base-uri": [NONE],
        "frame-ancestors": [NONE],
        "form-action": [SELF],
    },
}
SECURE_REFERRER_POLICY = "same-origin"
X_FRAME_OPTIONS = "DENY"
SESSION_COOKIE_HTTPONLY = True
SESSION_COOKIE_AGE = 12 * 60 * 60
if not (DEBUG or DEMO):
    SECURE_SSL_REDIRECT = env.bool("SECURE_SSL_REDIRECT", default=True)
    SECURE_HSTS_SECONDS = 31536000
    SECURE_HSTS_INCLUDE_SUBDOMAINS = True
    SECURE_HSTS_PRELOAD = True
    SESSION_COOKIE_SECURE = True
    CSRF_COOKIE_SECURE = True
    SECURE_PROXY_SSL_HEADER = ("HTTP_X_FORWARDED_PROTO", "https")
